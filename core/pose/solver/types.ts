import type { SegmentName } from '../../body/types.ts';
import type { Quat, Vec2, Vec3 } from '../../geometry/types.ts';
import type { Pose } from '../types.ts';

/** A point of a segment that is wanted at a place in the world. */
export interface PlaceGoal {
  readonly segment: SegmentName;
  /** In the segment's frame, metres; left out: its joint. */
  readonly point?: Vec3;
  /** World, metres. */
  readonly target: Vec3;
  /** World turn that the segment shall have; left out: any. */
  readonly rotation?: Quat;
  /** Against the other goals where not all can be met; 1 if left out. Above 0. */
  readonly weight?: number;
}

/** A point of a segment that stays where it is in the world, with its turn or without. */
export interface Planted {
  readonly segment: SegmentName;
  /** In the segment's frame, metres; left out: its joint. */
  readonly point?: Vec3;
  /** True keeps the segment's turn in the world as well (a sole flat on the floor). */
  readonly turn: boolean;
}

/**
 * Mass fixed to a segment. Several may describe one load: what two hands hold is half its mass at each
 * palm. A mass below 0 takes away, so that a lever alone can be told (+m at its end, -m at the joint).
 */
export interface CentreLoad {
  readonly segment: SegmentName;
  /** In the segment's frame, metres. */
  readonly offset: Vec3;
  /** Kilograms. */
  readonly mass: number;
}

/** A wish for the mass centre of the figure with its loads, in plan. */
export interface CentreGoal {
  /** Plan point (x, z), metres. */
  readonly target: Vec2;
  readonly loads?: readonly CentreLoad[];
  /**
   * True: the plumb line is kept there and the goals give way (keep the plumb line). False: the centre is
   * a goal like the others (pull the centre).
   */
  readonly keep: boolean;
}

/** A joint that is not turned, by the segment below it; pelvis: the hips neither move nor turn. */
export type Lock = SegmentName | 'hips-place' | 'hips-turn';

export interface SolveProblem {
  readonly goals: readonly PlaceGoal[];
  /** What stays as it is in the pose given. */
  readonly planted: readonly Planted[];
  readonly centre?: CentreGoal;
  readonly locks?: readonly Lock[];
  /**
   * Where to begin, if not at the pose itself: the answer of the last frame of a drag. The pose given
   * is still what the answer stays near to, and what planted points keep.
   */
  readonly from?: Pose;
  /**
   * Out of reach an easy stretch ends up to about 2 cm short of the very nearest place, which often
   * takes a contortion (knees turned out for the last centimetre). True goes there all the same.
   */
  readonly utmost?: boolean;
}

export interface SolveResult {
  /** Every joint inside its range (or no further out than it was); unturned joints are kept as they are. */
  readonly pose: Pose;
  /** All goals met to 0.1 mm (turns to 0.1 degrees) and the centre to 1 mm. */
  readonly reached: boolean;
  /** Distance from its target of the goal that is furthest off, metres; 0 without goals. */
  readonly residual_m: number;
  /** Distance in plan of the mass centre from where it is wanted, metres; 0 where nothing is wanted. */
  readonly centre_m: number;
}
