import type { Contact } from '../contact/index.ts';
import type { Vec2 } from '../geometry/index.ts';
import { alongFoot, type FootLine } from './feet.ts';
import { EDGES, type Heading } from './heading.ts';
import { LEVEL, SIDE } from './pushes.ts';
import type { Ground } from './support.ts';
import type { Margin, Verdict } from './types.ts';

/** What a sentence is made from. */
export interface Told {
  readonly verdict: Verdict;
  readonly margin: Margin | null;
  readonly ground: Ground;
  readonly contacts: readonly Contact[];
  readonly feet: readonly FootLine[];
  readonly footPosition: number | null;
  /** Which way "forwards" is, a unit direction in plan. */
  readonly forward: Vec2;
  /** Of a group of several figures: the one whose facing gives the directions. */
  readonly facing: string | null;
  /** Things whose mass is missing, by name. */
  readonly missing: readonly string[];
}

/** The verdict in one plain sentence with numbers and units (and a second on what was counted). */
export function tell(told: Told): string {
  const { verdict, margin, missing } = told;
  if (verdict === 'unknown') {
    return missing.length === 0
      ? 'Cannot tell: nothing here has a mass.'
      : `Cannot tell: the mass of ${list(missing)} is not set.`;
  }
  if (verdict === 'airborne') return `Airborne${together(told)}: nothing touches a surface.`;
  if (margin === null) {
    if (verdict !== 'falls')
      return `${VERBS[verdict]}${together(told)}: braced without limit, no edge ends its support.${counted(told)}`;
    return `Falls${together(told)}: ${whyNot(told)}.`;
  }
  const how = `${VERBS[verdict]}${together(told)}${course(told, margin)}`;
  return `${how}: ${where(told, margin)}.${counted(told)}`;
}

function whyNot({ ground }: Told): string {
  if (ground.joined) return 'no move of one alone lets each hold the other';
  return ground.slips ? 'what it stands on is too slippery' : 'nothing under it can carry it';
}

const VERBS: Readonly<Record<Verdict, string>> = {
  holds: 'Holds',
  teeters: 'Teeters',
  falls: 'Falls',
  airborne: 'Airborne',
  carried: 'Carried',
  held: 'Held',
  unknown: 'Cannot tell',
};

const together = ({ facing }: Told): string => (facing === null ? '' : ' together');

/** The direction of a fall, and whose facing it is told by. */
function course({ verdict, facing }: Told, { heading }: Margin): string {
  if (verdict !== 'falls') return '';
  return facing === null ? ` ${heading}` : ` ${heading} (as ${facing} faces)`;
}

function where(told: Told, margin: Margin): string {
  const { support, joined } = told.ground;
  const away = inWords(Math.abs(margin.distance));
  // Joined bodies are asked one by one only over the outline round all of them.
  if (joined && told.verdict === 'falls')
    return `the plumb line lands inside the outline round all contacts, but ${away} beyond where each can hold the other`;
  if (support.kind !== 'area') {
    const what = support.kind === 'point' ? 'point' : 'line';
    return told.verdict === 'teeters'
      ? `everything rests on one ${what}, and the plumb line lands on it`
      : `the plumb line is ${away} from the one ${what} that carries everything`;
  }
  const edge = edgeWords(told, margin);
  if (told.verdict === 'falls') return `the plumb line is ${away} ${edge.outside}`;
  const along = told.footPosition;
  const share = along !== null && along >= 0 && along <= 1 && onFeet(told);
  const lands = share ? `${(along * 100).toFixed(0)} % along the foot, ` : '';
  const at = `the plumb line lands ${lands}${away} ${edge.inside}`;
  return told.verdict === 'holds' ? at : `${at}, beyond the part that can carry it for long`;
}

const isFoot = ({ patch }: Contact): boolean =>
  patch.startsWith('sole') || patch.startsWith('toes');

const onFeet = ({ contacts }: Told): boolean => contacts.every(isFoot);

interface EdgeWords {
  readonly inside: string;
  readonly outside: string;
}

/** The nearest edge by the part of the body that it is, where it is plainly one; else by its side. */
function edgeWords(told: Told, { edge, heading }: Margin): EdgeWords {
  const whole = told.feet.length === 1 && onFeet(told) && !told.contacts.some((c) => c.clipped);
  const plain = `the ${EDGES[heading as Heading]} edge of the ${whole ? 'foot' : 'support'}`;
  const fallback = { inside: `inside ${plain}`, outside: `outside ${plain}` };
  const from = footOf(told, edge.from);
  const to = footOf(told, edge.to);
  if (from === null || to === null) return fallback;

  const along = alongFoot(edge.nearest, from);
  if (along === null || !looksAlong(from, told.forward)) return fallback;
  const several = told.feet.length > 1;
  if (heading === 'forwards' && along > TOES)
    return { inside: 'inside the toes', outside: 'past the toes' };
  if (heading === 'backwards' && along < HEEL) {
    const heel = several ? 'the heels' : 'the heel';
    return { inside: `in front of ${heel}`, outside: `behind ${heel}` };
  }
  const sideways = heading === 'to the left' || heading === 'to the right';
  if (!sideways || from !== to || isClipped(told, from)) return fallback;
  const outer = (heading === 'to the left') === (from.side === 'L') ? 'outer' : 'inner';
  const foot = `the ${outer} edge of the ${from.side === 'L' ? 'left' : 'right'} foot`;
  return { inside: `inside ${foot}`, outside: `outside ${foot}` };
}

/** From here to the tip an edge ahead is told as "the toes"; up to here one behind as "the heel". */
const TOES = 0.8;
const HEEL = 0.15;

/** The foot that a vertex of the hull belongs to; null for anything else. */
function footOf({ contacts, feet }: Told, [x, z]: Vec2): FootLine | null {
  // A hull's vertices are points of the contacts, to the last digit.
  const contact = contacts.find(({ outline }) => outline.some((p) => p[0] === x && p[2] === z));
  if (contact === undefined || !isFoot(contact)) return null;
  const side = contact.patch.at(-1);
  return feet.find((foot) => foot.figure === contact.owner && foot.side === side) ?? null;
}

/** Whether a foot points within 60 degrees of "forwards". */
function looksAlong({ heel, toe }: FootLine, forward: Vec2): boolean {
  const x = toe[0] - heel[0];
  const z = toe[1] - heel[1];
  return x * forward[0] + z * forward[1] > 0.5 * Math.hypot(x, z);
}

const isClipped = ({ contacts }: Told, { figure, side }: FootLine): boolean =>
  contacts.some(
    (contact) =>
      contact.owner === figure &&
      isFoot(contact) &&
      contact.patch.endsWith(side) &&
      contact.clipped,
  );

/** What else than level contacts went into the support. */
function counted({ ground, contacts }: Told): string {
  if (ground.support.basis === 'hull') return '';
  if (ground.joined) return ' Each is weighed with its own contacts and what passes between them.';
  const named = (those: readonly Contact[]): string =>
    list(those.map(({ patch }) => `the ${partName(patch)}`));
  const grips = contacts.filter(({ setting }) => setting === 'gripping');
  const sides = contacts.filter((one) => one.normal[1] < SIDE && !grips.includes(one));
  const told = [
    ...(sides.length > 0
      ? [`Counted with friction: the push of ${named(sides)} against a side.`]
      : []),
    ...(grips.length > 0 ? [`Counted with what ${named(grips)} can pull.`] : []),
  ];
  if (told.length > 0) return ` ${told.join(' ')}`;
  return contacts.every(
    ({ normal, outline }) =>
      normal[1] === 1 && outline.every((p) => Math.abs(p[1] - ground.level) <= LEVEL),
  )
    ? ' The tail tip counts with the half of the weight that it bears at most.'
    : ' The contacts lie at different heights and count with their friction.';
}

/** A patch in words: "left palm", "seat". */
export function partName(patch: string): string {
  if (patch.endsWith('L')) return `left ${patch.slice(0, -1)}`;
  if (patch.endsWith('R')) return `right ${patch.slice(0, -1)}`;
  return patch === 'tailTip' ? 'tail tip' : patch;
}

function list(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

/** A length as people read it: centimetres to the millimetre, metres from one metre on. */
export function inWords(metres: number): string {
  return metres < 0.9995 ? `${(metres * 100).toFixed(1)} cm` : `${metres.toFixed(2)} m`;
}

/** A figure that would not stand by itself but does with what holds it. */
export function tellHeld(
  alone: { readonly verdict: Verdict; readonly sentence: string },
  group: Verdict,
): string {
  const end = group === 'holds' ? 'together they hold' : 'together they teeter';
  const [how = '', rest = ''] = split(alone.sentence);
  return alone.verdict === 'airborne'
    ? `Held: nothing is under it, but ${end}.`
    : `Held: ${end}; alone it ${how.charAt(0).toLowerCase()}${how.slice(1)}: ${rest}`;
}

function split(sentence: string): readonly string[] {
  const at = sentence.indexOf(': ');
  return [sentence.slice(0, at), sentence.slice(at + 2)];
}
