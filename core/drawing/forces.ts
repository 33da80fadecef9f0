import type { BalanceReport, ContactShare, Study } from '../balance/index.ts';
import { add, normalise, scale, subtract } from '../geometry/index.ts';
import type { Vec3 } from '../geometry/types.ts';
import type { Sheet } from './sheet.ts';
import type { PagePoint, Projection } from './view.ts';

/** A force as an arrow in the world. */
export interface ForceArrow {
  /** What it comes from: a contact's push, a grip's pull, the weight of a group. */
  readonly kind: 'contact' | 'grip' | 'weight';
  /** Id of the contact (of a foot: its first one), grip or group. */
  readonly of: string;
  readonly from: Vec3;
  readonly to: Vec3;
  readonly newtons: number;
  /** False of the second arrow of a grip, whose force is the first one's. */
  readonly told: boolean;
}

/** Length of the arrow of a group's whole weight, metres. */
const WHOLE = 0.6;
/** Weaker forces than this share of the weight are not drawn. */
const LEAST = 0.005;

/**
 * The likely forces of a study as arrows, each as long as its share of its group's weight: the pushes
 * of contacts on who stands there, the pulls through grips on both ends, and the weight at the centre.
 */
export function forceArrows(study: Study, report: BalanceReport): ForceArrow[] {
  return study.groups.flatMap(({ id, loads, grips }) => {
    if (loads.kind === 'cannot tell') return [];
    const { weight_N } = loads;
    const arrow = (
      kind: ForceArrow['kind'],
      of: string,
      from: Vec3,
      force: Vec3,
      told = true,
    ): ForceArrow[] => {
      const newtons = Math.hypot(...force);
      if (newtons < LEAST * weight_N) return [];
      const [x, y, z] = scale(force, WHOLE / weight_N);
      return [{ kind, of, from, to: [from[0] + x, from[1] + y, from[2] + z], newtons, told }];
    };
    const centre = report.groups.find((group) => group.id === id)?.centre ?? null;
    return [
      ...(centre === null ? [] : arrow('weight', id, centre, [0, -weight_N, 0])),
      ...pushes([...loads.contacts, ...loads.between]).flatMap(({ of, at, force }) =>
        arrow('contact', of, at, force),
      ),
      ...grips.flatMap(({ grip, at, force }) => {
        const likely = force.kind === 'told' ? (force.likelyForce_N ?? force.leastForce_N) : null;
        if (likely === null) return [];
        return [
          ...arrow('grip', grip, at, likely),
          ...arrow('grip', grip, at, scale(likely, -1), false),
        ];
      }),
    ];
  });
}

interface Push {
  readonly of: string;
  readonly at: Vec3;
  readonly force: Vec3;
}

/** One push per contact; sole and toes of one foot push as one, where their resultant acts. */
function pushes(shares: readonly ContactShare[]): Push[] {
  const found = new Map<string, Push>();
  for (const { contact, owner, patch, arrow } of shares) {
    if (arrow === null) continue;
    const key = /^(sole|toes)/.test(patch) ? `${owner}/foot${patch.at(-1)}` : contact;
    const other = found.get(key);
    if (other === undefined) {
      found.set(key, { of: contact, at: arrow.at, force: arrow.force_N });
      continue;
    }
    const [a, b] = [Math.hypot(...other.force), Math.hypot(...arrow.force_N)];
    const share = a + b === 0 ? 0 : b / (a + b);
    found.set(key, {
      of: other.of,
      at: mix(other.at, arrow.at, share),
      force: add(other.force, arrow.force_N),
    });
  }
  return [...found.values()];
}

const mix = (a: Vec3, b: Vec3, share: number): Vec3 => add(a, scale(subtract(b, a), share));

/** Length of an arrow's head, pixels, and half its breadth over that. */
const HEAD = 9;
const SLIM = 0.42;

/** Shaft and head of an arrow on a page; null where it is seen end on. */
export function arrowShape(
  from: PagePoint,
  to: PagePoint,
): { readonly shaft: readonly PagePoint[]; readonly head: readonly PagePoint[] } | null {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const size = Math.hypot(dx, dy);
  if (size < 1) return null;
  const [ux, uy] = normalise([dx, dy, 0]);
  const head = Math.min(HEAD, size * 0.6);
  const neck: PagePoint = [to[0] - ux * head, to[1] - uy * head];
  const wide = head * SLIM;
  return {
    shaft: [from, neck],
    head: [
      to,
      [neck[0] - uy * wide, neck[1] + ux * wide],
      [neck[0] + uy * wide, neck[1] - ux * wide],
    ],
  };
}

/** A number at the tips of arrows: of one, or of several that end at one place. */
export interface ForceLabel {
  readonly at: PagePoint;
  readonly anchor: 'start' | 'end';
  readonly text: string;
}

/** Tips nearer than this on the page share one number, pixels, and how far beside them it stands. */
const SAME_TIP = 14;
const BESIDE = 7;

/** The numbers of arrows that run between points of the page, told together where they lie together. */
export function forceLabels(
  arrows: readonly ForceArrow[],
  ends: readonly (readonly [PagePoint, PagePoint])[],
): ForceLabel[] {
  const middle = ends.reduce((sum, [from]) => sum + from[0], 0) / Math.max(1, ends.length);
  const tips: { readonly from: PagePoint; readonly to: PagePoint; readonly values: number[] }[] =
    [];
  arrows.forEach(({ newtons, told }, i) => {
    if (!told) return;
    const [from, to] = ends[i]!;
    const near = tips.find((tip) => Math.hypot(tip.to[0] - to[0], tip.to[1] - to[1]) < SAME_TIP);
    if (near === undefined) tips.push({ from, to, values: [Math.round(newtons)] });
    else near.values.push(Math.round(newtons));
  });
  return tips.map(({ from, to, values }) => {
    const lean = to[0] - from[0];
    const right = Math.abs(lean) > BESIDE ? lean > 0 : to[0] >= middle;
    return {
      at: [to[0] + (right ? BESIDE : -BESIDE), to[1]],
      anchor: right ? 'start' : 'end',
      text: `${values.join(' + ')} N`,
    };
  });
}

/** Draws arrows with their forces in newtons. */
export function drawForces(
  sheet: Sheet,
  arrows: readonly ForceArrow[],
  project: Projection,
  labelSize: number,
): void {
  const ends = arrows.map(({ from, to }) => [project.at(from), project.at(to)] as const);
  sheet.part('forces', () => {
    for (const [from, to] of ends) {
      const shape = arrowShape(from, to);
      if (shape === null) continue;
      sheet.shape([shape.shaft], false, { stroke: { ink: 'sheet', width: 5 } });
      sheet.shape([shape.shaft], false, { stroke: { ink: 'ink', width: 2.5 } });
      sheet.shape([shape.head], true, { fill: 'ink', stroke: { ink: 'sheet', width: 1 } });
    }
    for (const { at, anchor, text } of forceLabels(arrows, ends))
      sheet.text([at[0], at[1] + labelSize * 0.35], text, {
        ink: 'ink',
        size: labelSize,
        anchor,
        bold: true,
        halo: 'sheet',
      });
  });
}
