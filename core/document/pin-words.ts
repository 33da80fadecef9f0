import type { PatchName, SegmentName } from '../body/types.ts';
import type { GripEnd, Scene } from '../scene/types.ts';
import type { Pin } from './pins.ts';

/** What a person calls the parts of a figure and what a note is pinned to. */

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
  tailTip: 'tail tip',
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
    case 'segment':
      return `${segmentWord(pin.segment)} of ${nameOf(scene, pin.figure)}, the whole part`;
    case 'load':
      return nameOf(scene, pin.load);
    case 'grip':
      return gripLabel(scene, pin.grip);
    case 'edge':
      return `${pin.side} edge of the support of ${nameOf(scene, pin.figure)}`;
    case 'reference':
      return pin.view === 'camera'
        ? 'a point of the reference'
        : `a point of the ${pin.view} reference`;
    case 'frames':
      return pin.from === pin.to ? `frame ${pin.from}` : `frames ${pin.from} to ${pin.to}`;
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

function gripLabel(scene: Scene, id: string): string {
  const grip = scene.grips.find((known) => known.id === id);
  if (grip === undefined) return 'a grip';
  const end = (at: GripEnd): string =>
    at.kind === 'load'
      ? nameOf(scene, at.load)
      : `${segmentWord(at.segment)} of ${nameOf(scene, at.figure)}`;
  return `grip: ${end(grip.a)} on ${end(grip.b)}`;
}
