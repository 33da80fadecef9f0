import type { Handle } from '../../core/balance/index.ts';
import type { SegmentName } from '../../core/body/index.ts';
import type { Contact } from '../../core/contact/index.ts';
import { nameOf, type Pin, segmentWord } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Planted } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';

export { nameOf, patchWord, pinLabel, segmentWord } from '../../core/document/index.ts';

/** How numbers and lists are said on the bench. */

/** What a contact rests on: a surface, a load, or a part of somebody ("left thigh of Ada"). */
export function restsOn(scene: Scene, { surface, upon }: Contact): string {
  if (upon === undefined) return nameOf(scene, surface);
  return upon.kind === 'load'
    ? nameOf(scene, upon.load)
    : `${segmentWord(upon.segment)} of ${nameOf(scene, upon.figure)}`;
}

/** Two pins that point at the same thing. */
export const samePin = (a: Pin | null, b: Pin | null): boolean =>
  JSON.stringify(a) === JSON.stringify(b);

/** Kilograms as a bare number for a column, e.g. "62.0"; an unknown mass is said so. */
export const sayMass = (mass: number | null): string =>
  mass === null ? 'unknown' : mass.toFixed(1);

/** A share of a whole, e.g. "64 %". */
export const sayShare = (share: number): string => `${(share * 100).toFixed(0)}\u00a0%`;

/** Things in a row of words: "left foot and right foot". */
export function sayList(words: readonly string[]): string {
  if (words.length < 2) return words.join('');
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** What is taken hold of at a segment, e.g. "left knee" at the left shank. */
export const handleWord = (part: Handle): string =>
  segmentWord(part).replace('forearm', 'elbow').replace('shank', 'knee');

const RESTING: Readonly<Partial<Record<SegmentName, string>>> = {
  pelvis: 'seat',
  chest: 'back',
  shankL: 'left knee',
  shankR: 'right knee',
};

/** What keeps its place in a drag, e.g. "left foot", "seat". */
export const plantedWords = ({ segment }: Planted): string =>
  RESTING[segment] ?? segmentWord(segment);

/** A place as a listener hears it: "12.0 cm left, 98.0 cm up, 35.2 cm ahead". */
export function sayPlace([x, y, z]: Vec3): string {
  const part = (metres: number, more: string, less: string): string =>
    `${Math.abs(metres * 100).toFixed(1)} cm ${metres < 0 ? less : more}`;
  return [part(x, 'left', 'right'), part(y, 'up', 'down'), part(z, 'ahead', 'back')].join(', ');
}
