import type { Strategy } from '../../core/index.ts';

/** What each way back moves, as a heading. */
export const WAY_WORDS: Readonly<Record<Strategy, string>> = {
  hips: 'hips',
  trunk: 'trunk',
  lean: 'whole body, at the ankles',
  'one-arm': 'one arm',
  'both-arms': 'both arms',
  'free-leg': 'free leg',
  step: 'one step',
  'load-closer': 'load closer',
  'grip-tighter': 'grip tighter',
};
