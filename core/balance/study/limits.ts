import type { Contact } from '../../contact/index.ts';
import { nearestOnSegment, type Vec2, type Vec3 } from '../../geometry/index.ts';
import { pointOn } from '../../pose/index.ts';
import { facing } from '../../scene/index.ts';
import { figureNode } from '../groups.ts';
import { headingOf } from '../heading.ts';
import {
  buildProgram,
  type LoadColumn,
  largest,
  leastFriction,
  type ProgramSpec,
  pushOf,
  type ReadGroup,
  readGroup,
  riseToTip,
} from '../region/index.ts';
import { contactProgram, type Rig, whyNotAtRest } from './rig.ts';
import type {
  FrictionDemand,
  Pushes,
  SidePush,
  SupportEdge,
  TipDirection,
  Tipping,
  Told,
} from './types.ts';
import { cannotTell, contactWords, degrees, newtons, percent } from './words.ts';

/** How far it can go before something tips or slides: tilt, energy, pushes, friction. */

/** Gravity leaning over: every body pulled aside in proportion to its weight. */
function tiltColumn({ bodies }: ProgramSpec, [x, z]: Vec2): LoadColumn[] {
  return bodies.map(({ weight, centre }, on) => ({
    on,
    force: [weight * x, 0, weight * z],
    at: centre!,
  }));
}

/**
 * The tilt of gravity at which it tips or slides, in directions evenly round, and the weakest of them
 * (mechanics.md 1.4); the least energy that takes it over an edge (1.5).
 */
export function tipping(
  rig: Rig,
  edges: readonly SupportEdge[] | null,
  directions: number,
): Told<Tipping> {
  const why = whyNotAtRest(rig);
  if (why !== null || rig.rigid === null)
    return cannotTell('how easily it tips', why ?? 'nothing here has a mass');
  const read = readGroup(rig.rigid.outline);
  const [fx, fz] = rig.forward;
  const found = Array.from({ length: directions }, (_, i): TipDirection => {
    const turn = (2 * Math.PI * i) / directions;
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    // Left of someone who faces (fx, fz) is (fz, -fx).
    const direction: Vec2 = [c * fx + s * fz, c * fz - s * fx];
    const limit = pushOf(read.spec, tiltColumn(read.spec, direction));
    const angle = limit === null ? 0 : Math.atan(limit.value);
    return {
      direction,
      heading: headingOf(direction, rig.forward),
      angle,
      ends: limit?.ends ?? 'tips',
    };
  });
  const weakest = found.reduce((a, b) => (b.angle < a.angle - 1e-9 ? b : a));
  const over = weakest.ends === 'tips' ? pressedAtLimit(rig, weakest.direction) : [];
  const rise = edges === null || rig.linkage.bodies.length > 1 ? null : leastRise(rig, edges);
  const energy_J = rise === null ? null : rise * read.total_N;
  return {
    kind: 'told',
    sentence: tipSentence(rig, weakest, over, energy_J),
    directions: found,
    weakest,
    energy_J,
    rise_m: rise,
    over: over.map(({ id }) => id),
  };
}

/** Below this share of the weight nothing presses. */
const PRESSES = 1e-4;

/** The contacts that still press when gravity has leant as far as they allow. */
function pressedAtLimit(rig: Rig, direction: Vec2): readonly Contact[] {
  const { spec, patches } = contactProgram(rig)!;
  const program = buildProgram({ ...spec, column: tiltColumn(spec, direction), loads: true });
  if (largest(program, program.level) === null) return [];
  return pressed(rig.contacts, patches, (patch) =>
    program.simplex.read(program.loadRows[patch]! + 1),
  );
}

export const pressed = (
  contacts: readonly Contact[],
  patches: ReadGroup['patches'],
  normal: (patch: number) => number,
): readonly Contact[] =>
  contacts.filter(({ id }) => {
    const patch = patches.findIndex(({ name }) => name === id);
    return patch >= 0 && normal(patch) > PRESSES;
  });

/** By how much the centre must rise to pass the lowest edge; null where a border is no edge. */
function leastRise({ reading, contacts }: Rig, edges: readonly SupportEdge[]): number | null {
  const { centre } = reading;
  if (centre === null || edges.length === 0) return null;
  let least = Number.POSITIVE_INFINITY;
  for (const { from, to, made } of edges) {
    const [a, b] = [heightAt(contacts, from), heightAt(contacts, to)];
    if (made !== 'outline' || a === null || b === null) return null;
    // Two corners of a rounded border at one contact point are no edge of their own.
    if (a !== b) least = Math.min(least, riseToTip(centre, a, b));
  }
  return Number.isFinite(least) ? least : null;
}

/** The contact point that makes a corner of the border; of several over each other the highest. */
function heightAt(contacts: readonly Contact[], [x, z]: Vec2): Vec3 | null {
  let best: Vec3 | null = null;
  let least = SAME_PLACE;
  for (const { outline } of contacts)
    for (const p of outline) {
      const away = Math.hypot(p[0] - x, p[2] - z);
      const over = best !== null && Math.abs(away - least) < OVER && p[1] > best[1];
      if (away < least - OVER || over) {
        best = p;
        least = away;
      }
    }
  return best;
}

/** Points over each other in plan to within this, metres. */
const OVER = 1e-6;

/** Region corners and contact points within this are one place in plan, metres. */
export const SAME_PLACE = 2e-3;

/** Whether a contact has a point, or an edge, on a stretch of the border. */
export function liesOn({ outline }: Contact, from: Vec2, to: Vec2): boolean {
  return outline.some(([x, , z]) => {
    const [nx, nz] = nearestOnSegment([x, z], from, to);
    return Math.hypot(nx - x, nz - z) < SAME_PLACE;
  });
}

function tipSentence(
  rig: Rig,
  { angle, heading, ends }: TipDirection,
  over: readonly Contact[],
  energy_J: number | null,
): string {
  if (ends === 'never') return 'Braced so that no tilt moves it.';
  const first = ends === 'slides' ? 'Slides' : 'Tips';
  const edge =
    over.length > 0 ? `, over ${contactWords(over, rig.owners, heading === 'backwards')}` : '';
  // Stiff as one they would have an energy to tip, but joined bodies give way where they hold on.
  const none = rig.linkage.bodies.length > 1 ? '; joined, they have no one energy to tip' : '';
  const told = energy_J === null ? none : `; ${energy_J.toFixed(1)} J would take it over`;
  const joules = ends === 'slides' ? '' : told;
  return `${first} most easily ${heading}, at a tilt of ${degrees(angle)}${edge}${joules}.`;
}

/** Share to which friction is found: coefficients are given to the hundredth. */
const PRECISION = 1e-3;

/** How much of the friction that there is must be used (mechanics.md 1.8). */
export function frictionDemand(rig: Rig, weakest: TipDirection | null): Told<FrictionDemand> {
  const what = 'how much friction it needs';
  const { missing, rigid, contacts, between } = rig;
  if (missing.length > 0)
    return cannotTell(what, `the mass of ${missing.join(' and ')} is not set`);
  if (rigid === null) return cannotTell(what, 'nothing here has a mass');
  if (contacts.length === 0) return cannotTell(what, 'nothing touches a surface');
  const { spec } = readGroup(rigid.outline);
  const scale = leastFriction(spec, (s, factor) => s.friction * factor, PRECISION);
  const coefficients = [...contacts, ...between].map(({ friction }) => friction);
  const available = Math.min(...coefficients);
  // Where all are alike the two questions are one.
  const alike = Math.max(...coefficients) === available;
  const needed =
    scale !== null && alike
      ? scale * available
      : leastFriction(spec, (_, value) => value, PRECISION);
  if (scale === null || needed === null) return cannotTell(what, 'it falls with any friction');
  const first = weakest?.ends ?? 'tips';
  return {
    kind: 'told',
    sentence: frictionSentence(scale, needed, available, weakest),
    scale,
    needed,
    available,
    first,
  };
}

function frictionSentence(
  scale: number,
  needed: number,
  available: number,
  weakest: TipDirection | null,
): string {
  const then =
    weakest === null || weakest.ends === 'never'
      ? ''
      : weakest.ends === 'slides'
        ? ' Tilted, it slides before it tips.'
        : ' Tilted, it tips before it slides.';
  if (needed < NONE) return `Needs no friction to stand like this.${then}`;
  const demand = `a friction of ${needed.toFixed(2)}`;
  return scale > 1
    ? `Slides: it needs ${demand}, and there is ${available.toFixed(2)}.`
    : `Needs ${demand}; it uses ${percent(scale)} of what there is.${then}`;
}

/** A coefficient that is told as none. */
const NONE = 0.005;

const SIDES = ['front', 'behind', 'left', 'right'] as const;

/**
 * The largest level push on a figure, from four sides, at a height (default: the middle of its chest),
 * in line with the centre of its body so that it does not twist. Everything joined to it takes part.
 * @param height above the lowest contact, metres
 */
export function pushesOn(rig: Rig, figure: string, height: number | undefined): Told<Pushes> {
  const name = rig.names.get(figureNode(figure))!;
  const why = whyNotAtRest(rig);
  if (why !== null || rig.rigid === null)
    return cannotTell(`what push ${name} can take`, why ?? 'nothing here has a mass');
  const posed = rig.world.posed.get(figure)!;
  const read = readGroup(rig.rigid.outline);
  const body = rig.linkage.bodyOf.get(figureNode(figure))!;
  const on = rig.linkage.bodies.findIndex(({ id }) => id === body);
  const { centre } = rig.rigid.outline.bodies[on]!;
  const chest = pointOn(posed, 'chest', [0, posed.body.segments.chest.end[1] / 2, 0]);
  const lowest = Math.min(...rig.contacts.flatMap(({ outline }) => outline.map((p) => p[1])));
  const at: Vec3 = [centre[0], height === undefined ? chest[1] : lowest + height, centre[2]];
  const [fx, fz] = facing(posed.segments.pelvis.rotation);
  const towards: Readonly<Record<SidePush['from'], Vec2>> = {
    front: [-fx, -fz],
    behind: [fx, fz],
    left: [-fz, fx],
    right: [fz, -fx],
  };
  const pushes = SIDES.map((from): SidePush => {
    const direction = towards[from];
    const limit = pushOf(read.spec, [{ on, force: [direction[0], 0, direction[1]], at }]);
    const value = limit === null ? 0 : limit.value * read.total_N;
    const force_N = Number.isFinite(value) ? value : null;
    return { from, direction, force_N, ends: limit?.ends ?? 'tips' };
  });
  return {
    kind: 'told',
    sentence: pushSentence(name, at[1] - lowest, pushes),
    figure,
    at,
    pushes,
  };
}

function pushSentence(name: string, height: number, pushes: readonly SidePush[]): string {
  const said = pushes.map(({ from, force_N, ends }) => {
    const side = from === 'behind' ? 'from behind' : `from the ${from}`;
    if (force_N === null) return `any push ${side}`;
    return `${newtons(force_N)} ${side}${ends === 'slides' ? ' (then slides)' : ''}`;
  });
  const all = `${said.slice(0, -1).join(', ')} and ${said.at(-1)}`;
  return `Pushed at ${height.toFixed(2)} m, ${name} stands up to ${all}.`;
}
