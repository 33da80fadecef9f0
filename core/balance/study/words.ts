import type { Contact } from '../../contact/index.ts';
import { partName } from '../sentence.ts';
import type { Band, CannotTell, MassBand } from './types.ts';

/** Numbers and lists in sentences. Newtons and kilograms are rounded as people say them. */

export const newtons = (value: number): string => `${Math.round(value)} N`;

export const kilograms = (value: number): string =>
  `${value < 9.95 ? value.toFixed(1) : value.toFixed(0)} kg`;

export const percent = (share: number): string => `${Math.round(share * 100)} %`;

export const degrees = (radians: number): string =>
  `${((radians * 180) / Math.PI).toFixed(1)} degrees`;

export function list(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

export const cannotTell = (what: string, why: string): CannotTell => ({
  kind: 'cannot tell',
  sentence: `Cannot tell ${what}: ${why}.`,
});

/** "178 to 302 N", "up to 302 N", "178 N or more", "any force". */
export function newtonsBand({ least, most }: Band): string {
  if (least !== null && most !== null)
    return Math.round(least) === Math.round(most)
      ? newtons(least)
      : `${Math.round(least)} to ${newtons(most)}`;
  if (most !== null) return `up to ${newtons(most)}`;
  return least === null ? 'any force' : `${newtons(least)} or more`;
}

/** "26 to 103 kg (42 to 166 % of the body)", "any weight up to 9.3 kg (15 % of the body)", "12 kg or more", "any weight". */
export function massBand(band: Extract<MassBand, { kind: 'range' }>): string {
  const { least_kg, most_kg, leastShare, mostShare } = band;
  const none = least_kg < 0.05;
  if (most_kg === null || mostShare === null)
    return none
      ? 'any weight'
      : `${kilograms(least_kg)} or more (${percent(leastShare)} of the body)`;
  if (none) return `any weight up to ${kilograms(most_kg)} (${percent(mostShare)} of the body)`;
  const from = kilograms(least_kg).replace(' kg', '');
  const shares = `${Math.round(leastShare * 100)} to ${percent(mostShare)}`;
  return `${from} to ${kilograms(most_kg)} (${shares} of the body)`;
}

/** Which contacts of one foot are meant. */
type FootPart = 'foot' | 'sole' | 'heel' | 'toes';

/**
 * Contacts in words: "both feet", "the left foot and the seat", "the toes of both feet". Sole and toes
 * together are the foot; a sole alone is the sole.
 * @param names of the owners, where more than one thing rests here; null: they need not be said
 * @param heels true where only the back end of a sole is meant
 */
export function contactWords(
  contacts: readonly Contact[],
  names: ReadonlyMap<string, string> | null,
  heels = false,
): string {
  const byOwner = new Map<string, Set<string>>();
  for (const { owner, patch } of contacts) {
    const key = patch === 'underside' ? `load/${owner}` : `figure/${owner}`;
    byOwner.set(key, (byOwner.get(key) ?? new Set()).add(patch));
  }
  return list(
    [...byOwner].flatMap(([owner, patches]) => {
      const name = names?.get(owner);
      if (patches.has('underside')) return [`the underside of ${name ?? 'the load'}`];
      const words = patchWords(patches, heels);
      return name === undefined ? words : words.map((word) => `${word} of ${name}`);
    }),
  );
}

function patchWords(patches: ReadonlySet<string>, heels: boolean): string[] {
  const partOf = (side: 'L' | 'R'): FootPart | null => {
    if (!patches.has(`sole${side}`)) return patches.has(`toes${side}`) ? 'toes' : null;
    if (patches.has(`toes${side}`)) return 'foot';
    return heels ? 'heel' : 'sole';
  };
  const [left, right] = [partOf('L'), partOf('R')];
  const words: string[] = [];
  if (left !== null && left === right) words.push(BOTH[left]);
  else {
    if (left !== null) words.push(ONE[left]('left'));
    if (right !== null) words.push(ONE[right]('right'));
  }
  for (const patch of patches) {
    if (/^(sole|toes)/.test(patch)) continue;
    words.push(`the ${partName(patch)}`);
  }
  return words;
}

const BOTH: Readonly<Record<FootPart, string>> = {
  foot: 'both feet',
  sole: 'both soles',
  heel: 'both heels',
  toes: 'the toes of both feet',
};

const ONE: Readonly<Record<FootPart, (side: string) => string>> = {
  foot: (side) => `the ${side} foot`,
  sole: (side) => `the ${side} sole`,
  heel: (side) => `the ${side} heel`,
  toes: (side) => `the toes of the ${side} foot`,
};
