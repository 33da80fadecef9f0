import {
  type Band,
  contactWords,
  type GroupStudy,
  kilograms,
  type Pushes,
  type Sturdiness,
} from '../../core/balance/index.ts';
import type { GripEnd } from '../../core/scene/index.ts';
import { centimetres, percent, VERDICT_WORDS } from '../badge/words.ts';
import type { ShareRow } from './readings-rows.ts';
import type { Shown } from './shown.ts';
import { nameOf, segmentWord } from './words.ts';

/** The numbers of a study as rows of words: a name, a value at the right, a remark beneath. */

export interface TextRow {
  readonly name: string;
  readonly value: string;
  readonly under?: string;
}

const SPACE = '\u00a0';
const DEGREE = Math.PI / 180;

const whole = (value: number): string => String(Math.round(value)).replace('-', '\u2212');

export const forceWords = (newtons: number): string => `${whole(newtons)}${SPACE}N`;

export const angleWords = (radians: number): string => `${(radians / DEGREE).toFixed(1)}°`;

const massWords = (kg: number): string => kilograms(kg).replace(' ', SPACE);

/** A range of shares: "25 to 75 %", "25 % or more". */
export function rangeWords({ least, most }: Band): string {
  if (least !== null && most !== null) return `${whole(least * 100)} to ${percent(most)}`;
  if (most !== null) return `${percent(most)} at most`;
  return least === null ? 'without limit' : `${percent(least)} or more`;
}

/** A range of forces: "58 to 126 N", "up to 126 N". */
function forceRange({ least, most }: Band): string {
  if (least !== null && most !== null) return `${whole(least)} to ${forceWords(most)}`;
  if (most !== null) return `up to ${forceWords(most)}`;
  return least === null ? 'without limit' : `${forceWords(least)} or more`;
}

/** Level pulls between two bodies: what each takes alone, and what must pass between them. */
export const lineRows = ({ pulls }: GroupStudy): TextRow[] =>
  pulls.map(({ between: [first, second], first_N, second_N, passes_N }) => {
    const takes = (name: string, band: Band | null): string =>
      band === null ? `${name} can stand no level pull` : `${name} holds with ${forceRange(band)}`;
    return {
      name: 'level pull through their hands',
      value: passes_N === null ? 'none suits both' : forceRange(passes_N),
      under: `${takes(first, first_N)}; ${takes(second, second_N)}`,
    };
  });

/**
 * What passes through each grip: the force, told as likely where statics leaves it open, and the
 * moment that it must hold as well.
 */
export function gripRows({ scene }: Shown, { grips }: GroupStudy): TextRow[] {
  return grips.map(({ grip, between, force }) => {
    const name = between.join(' and ');
    const ends = scene.grips.find(({ id }) => id === grip);
    const where = ends === undefined ? [] : [`${endWords(ends.a)}, ${endWords(ends.b)}`];
    if (force.kind === 'cannot tell') return { name, value: '', under: force.sentence };
    const { least_N, likelyForce_N, unique, moment_Nm } = force;
    const likely = unique || likelyForce_N === null ? null : Math.hypot(...likelyForce_N);
    const under = [
      ...where,
      ...(unique ? [] : [least_N < 0.5 ? 'none need pass' : `at least ${forceWords(least_N)}`]),
      ...(moment_Nm < 0.5
        ? []
        : [`it must hold a turning moment of ${moment_Nm.toFixed(0)}${SPACE}N${SPACE}m`]),
    ].join('; ');
    const value = likely === null ? forceWords(least_N) : `likely ${forceWords(likely)}`;
    return { name, value, under };
  });
}

const endWords = (end: GripEnd): string =>
  end.kind === 'load' ? 'the load' : segmentWord(end.segment);

/** How far it is from tipping or sliding, the weightiest first; empty where nothing is at rest. */
export function nearRows(shown: Shown, { tipping, friction }: GroupStudy): TextRow[] {
  const rows: TextRow[] = [];
  if (tipping.kind === 'told') {
    const { weakest, over, energy_J, rise_m } = tipping;
    if (weakest.ends === 'never') rows.push({ name: 'tilted', value: 'never moves' });
    else
      rows.push({
        name: weakest.ends === 'tips' ? 'tips at a tilt of' : 'slides at a tilt of',
        value: angleWords(weakest.angle),
        under: [
          `${weakest.heading}${overWords(shown, over, weakest.heading)}`,
          weakest.ends === 'tips' ? 'tips before it slides' : 'slides before it tips',
        ].join('; '),
      });
    if (energy_J !== null && rise_m !== null)
      rows.push({
        name: 'energy to tip it over',
        value: `${energy_J.toFixed(1)}${SPACE}J`,
        under: `its centre must rise ${millimetres(rise_m)}`,
      });
  }
  if (friction.kind === 'told') {
    const { scale, needed, available } = friction;
    const none = needed < 0.005;
    rows.push({
      name: 'friction used',
      value: percent(scale),
      under: none
        ? `needs none; there is ${available.toFixed(2)}`
        : `needs ${needed.toFixed(2)}; there is ${available.toFixed(2)}`,
    });
  }
  return rows;
}

function overWords({ report }: Shown, over: readonly string[], heading: string): string {
  const contacts = report.contacts.filter(({ id }) => over.includes(id));
  return contacts.length === 0
    ? ''
    : `, over ${contactWords(contacts, null, heading === 'backwards')}`;
}

const millimetres = (metres: number): string =>
  metres < 0.01 ? `${(metres * 1000).toFixed(1)}${SPACE}mm` : centimetres(metres);

/** Height of the pushes above the lowest contact of the group, metres. */
export function pushHeightOf({ report }: Shown, { members }: GroupStudy, { at }: Pushes): number {
  const heights = report.contacts
    .filter(({ owner }) => members.includes(owner))
    .flatMap(({ outline }) => outline.map((point) => point[1]));
  return at[1] - (heights.length === 0 ? 0 : Math.min(...heights));
}

/** The most that a figure takes from each side, and what happens then. */
export const pushTable = ({ pushes }: Pushes): TextRow[] =>
  pushes.map(({ from, force_N, ends }) => ({
    name: from === 'behind' ? 'from behind' : `from the ${from}`,
    value: force_N === null ? 'any' : `${forceWords(force_N)}, then ${ends}`,
  }));

/** Friction of every contact that uses some. */
export function frictionRows(shares: readonly ShareRow[]): { value: string; rows: TextRow[] } {
  const rows = shares.flatMap(({ name, on, friction }): (TextRow & { used: number })[] =>
    friction === null
      ? []
      : [{ name: `${name} on ${on}`, value: percent(friction), used: friction }],
  );
  const most = Math.max(0, ...rows.map(({ used }) => used));
  return { value: rows.length === 0 ? '' : `up to ${percent(most)}`, rows };
}

/** For each carried load, which contacts lift first when it grows, and from which mass it falls. */
export const liftRows = ({ scene, report }: Shown, { growth }: GroupStudy): TextRow[] =>
  growth.map(({ load, answer }) => {
    const name = `when ${nameOf(scene, load)} grows`;
    if (answer.kind === 'cannot tell') return { name, value: '', under: answer.sentence };
    const { lifts, lifts_kg, falls_kg } = answer;
    const makers = report.contacts.filter(({ id }) => lifts.includes(id));
    const falls =
      falls_kg === null ? 'It never falls.' : `It falls from ${massWords(falls_kg)} on.`;
    return lifts_kg === null
      ? { name, value: 'nothing lifts', under: falls }
      : {
          name,
          value: `at ${massWords(lifts_kg)}`,
          under: `${contactWords(makers, null)} first. ${falls}`,
        };
  });

const JOINTS_TOLD = 5;

/** The joints that move the centre most for one degree, strongest first. */
export function pullRows(
  { scene }: Shown,
  { sensitivity }: GroupStudy,
): { value: string; rows: TextRow[] } {
  const several = sensitivity.length > 1;
  const rows = sensitivity.flatMap(({ figure, answer }) =>
    answer.kind === 'cannot tell'
      ? []
      : answer.joints.slice(0, JOINTS_TOLD).map(({ joint, both, axis, size_m }) => {
          const part = both ? `both ${jointWord(joint).replace(/^left /, '')}s` : jointWord(joint);
          return {
            name: several ? `${part} of ${nameOf(scene, figure)}` : part,
            value: `${(size_m * 1000).toFixed(1)}${SPACE}mm`,
            under: axis,
          };
        }),
  );
  const [first] = rows;
  return { value: first === undefined ? '' : first.name, rows };
}

const JOINT_WORDS: Readonly<Record<string, string>> = {
  abdomen: 'waist',
  chest: 'chest',
  head: 'neck',
  upperArm: 'shoulder',
  forearm: 'elbow',
  hand: 'wrist',
  thigh: 'hip',
  shank: 'knee',
  foot: 'ankle',
  toes: 'ball of the foot',
};

function jointWord(joint: Parameters<typeof segmentWord>[0]): string {
  const side = joint.endsWith('L') ? 'left ' : joint.endsWith('R') ? 'right ' : '';
  const word = JOINT_WORDS[side === '' ? joint : joint.slice(0, -1)] ?? segmentWord(joint);
  return `${side}${word}`;
}

/** The verdict under every body table. */
export const sturdyRows = ({ under }: Sturdiness): TextRow[] =>
  under.map(({ name, verdict, margin_m }) => ({
    name,
    value: `${VERDICT_WORDS[verdict]}${margin_m === null ? '' : `, ${margin_m < 0 ? '\u2212' : ''}${centimetres(margin_m)}`}`,
  }));
