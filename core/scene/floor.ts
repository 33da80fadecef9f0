import type { Surface } from './types.ts';

/** The floor at y = 0, without end; friction as of a dry shoe on a wooden floor (common practice, no source). */
export const floorSurface = (): Surface => ({
  id: 'floor',
  name: 'Floor',
  kind: 'floor',
  position: [0, 0, 0],
  rotation: [0, 0, 0, 1],
  size: null,
  friction: 0.7,
});
