import type { Vec2, Vec3 } from '../../geometry/types.ts';
import type { Verdict } from '../types.ts';
import type { Band, Told } from './told.ts';

/** What a study tells about grips, and about letting go. */

export interface GripStudy {
  readonly grip: string;
  /** The two ends as names: figure or load. */
  readonly between: readonly [string, string];
  readonly at: Vec3;
  readonly force: Told<GripForces>;
}

export interface GripForces {
  /** On the first end, over all equilibria. */
  readonly x_N: Band;
  readonly y_N: Band;
  readonly z_N: Band;
  readonly unique: boolean;
  /** Smallest force that does. */
  readonly least_N: number;
  readonly leastForce_N: Vec3;
  /** The force that springs would give; null where they say nothing. */
  readonly likelyForce_N: Vec3 | null;
  /**
   * Moment that it must hold as well, where one end hangs on it alone and its centre lies beside it,
   * N m; 0 otherwise.
   */
  readonly moment_Nm: number;
}

/** Level pulls through the hands of two bodies, each taken alone with its own contacts. */
export interface Pull {
  readonly between: readonly [string, string];
  readonly at: Vec3;
  /** Plan direction from the first to the second. */
  readonly direction: Vec2;
  /** Pulls with which the first holds; null: none. Negative values push. */
  readonly first_N: Band | null;
  readonly second_N: Band | null;
  /** Whether the two have a pull in common. */
  readonly meet: boolean;
  /**
   * What must pass along the line through all their hands together, over all equilibria of the group;
   * null where it is not at rest.
   */
  readonly passes_N: Band | null;
  readonly sentence: string;
}

export interface LetGo {
  readonly what:
    | { readonly kind: 'grip'; readonly grip: string }
    /** All grips between the same two at once; only where they have several. */
    | { readonly kind: 'grips'; readonly grips: readonly string[] }
    /** Hands closed round one thing, as `FIGURE/palmL`: all of a figure, or one of two. */
    | { readonly kind: 'hands'; readonly hands: readonly string[] }
    | { readonly kind: 'load'; readonly load: string };
  readonly parts: readonly PartAfter[];
  readonly sentence: string;
}

export interface PartAfter {
  readonly members: readonly string[];
  readonly names: readonly string[];
  /** `airborne` of a load: it drops. */
  readonly verdict: Verdict;
  readonly margin_m: number | null;
  /** Direction of the fall, plan, and as a word by its own facing; null when it does not fall. */
  readonly direction: Vec2 | null;
  readonly heading: string | null;
  /** It hangs by what still holds it and only swings: its centre lies below all its contacts. */
  readonly swings: boolean;
  /** Null also where it swings. */
  readonly topple: Topple | null;
  /** Of what is airborne; null also where nothing lies beneath. */
  readonly drop: Drop | null;
}

/** Falling as one stiff body over the nearest edge, from rest; an estimate. */
export interface Topple {
  readonly to20: Moment;
  readonly to45: Moment;
  /** Until its centre is as low as the edge. */
  readonly toFloor: Moment;
}

export interface Moment {
  readonly seconds: number;
  /** At the study's rate, rounded. */
  readonly frames: number;
}

export interface Drop extends Moment {
  readonly from: Vec3;
  /** Where its centre ends. */
  readonly to: Vec3;
  readonly height_m: number;
  /** Name of the surface or load that it lands on. */
  readonly onto: string;
}
