export { compareScenes, footShift, movedBy } from './compare-scenes.ts';
export type { Comparison, JointMove, LoadMove } from './types.ts';
