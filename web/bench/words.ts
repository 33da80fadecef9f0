import type { PatchName, SegmentName } from '../../core/body/index.ts';
import type { Pin } from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';

/** What a person calls the parts of a figure, and how numbers are said on the bench. */

const SEGMENT_WORDS: Readonly<Record<SegmentName, string>> = {
  pelvis: 'hips',
  abdomen: 'waist',
  chest: 'chest',
  head: 'head',
  upperArmL: 'left upper arm',
  forearmL: 'left forearm',
  handL: 'left hand',
  upperArmR: 'right upper arm',
  forearmR: 'right forearm',
  handR: 'right hand',
  thighL: 'left thigh',
  shankL: 'left shank',
  footL: 'left foot',
  toesL: 'left toes',
  thighR: 'right thigh',
  shankR: 'right shank',
  footR: 'right foot',
  toesR: 'right toes',
};

const PATCH_WORDS: Readonly<Record<PatchName | 'underside', string>> = {
  soleL: 'left sole',
  toesL: 'left toes',
  soleR: 'right sole',
  toesR: 'right toes',
  palmL: 'left palm',
  palmR: 'right palm',
  kneeL: 'left knee',
  kneeR: 'right knee',
  forearmL: 'left forearm',
  forearmR: 'right forearm',
  seat: 'seat',
  back: 'back',
  underside: 'underside',
};

export const segmentWord = (segment: SegmentName): string => SEGMENT_WORDS[segment];

export const patchWord = (patch: PatchName | 'underside'): string => PATCH_WORDS[patch];

/** The name of a figure, load or surface by id; the id itself for what is not in the scene. */
export function nameOf(scene: Scene, id: string): string {
  const all = [...scene.figures, ...scene.loads, ...scene.surfaces];
  return all.find((thing) => thing.id === id)?.name ?? id;
}

/** What a pin points at, e.g. "left hand of the porter". */
export function pinLabel(scene: Scene, pin: Pin): string {
  switch (pin.kind) {
    case 'shot':
      return 'the whole shot';
    case 'joint':
      return `${segmentWord(pin.segment)} of ${nameOf(scene, pin.figure)}`;
    case 'load':
      return nameOf(scene, pin.load);
    case 'plumb':
      return `plumb line of ${nameOf(scene, pin.figure)}`;
    case 'contact': {
      const [owner = '', patch = 'underside'] = pin.contact.split('/');
      return `contact: ${patchWord(patch as PatchName)} of ${nameOf(scene, owner)}`;
    }
    case 'point':
      return 'a point of the drawing';
  }
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
