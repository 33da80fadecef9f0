import type { Picture } from '../../../core/document/index.ts';
import type { Vec2 } from '../../../core/geometry/index.ts';
import type { Marks } from './pictures.ts';

/** One mark of a line-up: what it is called, and how it is read and written. */
export interface LineUpMark {
  readonly word: string;
  readonly read: (picture: Picture) => Vec2;
  readonly write: (pixel: Vec2, now: Picture) => Marks;
}

const FLAT = {
  feet: {
    word: 'feet on the floor',
    read: ({ feet }) => feet,
    write: (feet) => ({ feet }),
  },
  head: {
    word: 'top of the head',
    read: ({ head }) => head,
    write: (head) => ({ head }),
  },
} satisfies Record<string, LineUpMark>;

const PERSPECTIVE = {
  ...FLAT,
  left: {
    word: 'horizon, left',
    read: ({ horizon }) => horizon[0],
    write: (pixel, { horizon }) => ({ horizon: [pixel, horizon[1]] }),
  },
  right: {
    word: 'horizon, right',
    read: ({ horizon }) => horizon[1],
    write: (pixel, { horizon }) => ({ horizon: [horizon[0], pixel] }),
  },
} satisfies Record<string, LineUpMark>;

/** The marks that a picture needs, by name: a flat one has no horizon. */
export const marksOf = ({ view }: Picture): readonly (readonly [string, LineUpMark])[] =>
  Object.entries<LineUpMark>(view === 'camera' ? PERSPECTIVE : FLAT);
