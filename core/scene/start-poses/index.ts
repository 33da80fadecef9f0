import { LOW } from './low.ts';
import { STANDING } from './standing.ts';
import type { StartPose } from './types.ts';
import { WORKING } from './working.ts';

/** All start poses, in the order in which they are shown. */
export const START_POSES: readonly StartPose[] = [...STANDING, ...LOW, ...WORKING];

export { loadsOn, poseAt, type Spot, spotOf, surfacesAt } from './place.ts';
export type { MadePose, NeededLoad, NeededSurface, StartPose } from './types.ts';
