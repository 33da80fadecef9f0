import type { PatchName } from '../../core/body/index.ts';

/** What can carry a person in a picture, in words, and the patches behind each. */
export const BASES: readonly { readonly word: string; readonly patches: readonly PatchName[] }[] = [
  { word: 'left foot', patches: ['soleL', 'toesL'] },
  { word: 'right foot', patches: ['soleR', 'toesR'] },
  { word: 'seat', patches: ['seat'] },
  { word: 'left knee', patches: ['kneeL'] },
  { word: 'right knee', patches: ['kneeR'] },
  { word: 'left hand', patches: ['palmL'] },
  { word: 'right hand', patches: ['palmR'] },
];

/** The words whose patches are all there. */
export const chosenBases = (patches: readonly PatchName[]): string[] =>
  BASES.filter((base) => base.patches.every((patch) => patches.includes(patch))).map(
    ({ word }) => word,
  );

export const patchesOf = (words: readonly string[]): PatchName[] =>
  BASES.filter(({ word }) => words.includes(word)).flatMap(({ patches }) => patches);
