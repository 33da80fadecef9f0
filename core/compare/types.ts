import type { Verdict } from '../balance/index.ts';
import type { SegmentName } from '../body/index.ts';
import type { Vec2, Vec3 } from '../geometry/index.ts';

/** How one joint of a figure differs between two scenes. */
export interface JointMove {
  readonly figure: string;
  readonly name: string;
  /** The segment below the joint; the pelvis stands for the turn of the whole figure. */
  readonly segment: SegmentName;
  /** How far it is turned against its parent, radians, 0 to pi. */
  readonly turned: number;
  /** How far the joint itself has moved once the scenes lie on each other, metres. */
  readonly moved: number;
}

/** How a load differs between two scenes that both have it. */
export interface LoadMove {
  readonly load: string;
  readonly name: string;
  /** Metres, once the scenes lie on each other. */
  readonly moved: number;
  /** Kilograms before and after; null: not set. */
  readonly mass: readonly [before: number | null, after: number | null];
}

export interface Comparison {
  /** What the scenes were laid on each other by: a foot that carries weight in both; null: as they stand. */
  readonly matched: { readonly figure: string; readonly foot: 'L' | 'R' } | null;
  /** To be added to everything of the second scene so that it lies on the first, metres. */
  readonly shift: Vec3;
  /** Joints that differ, those that turned most first. */
  readonly joints: readonly JointMove[];
  readonly loads: readonly LoadMove[];
  /** Names of figures, loads and surfaces that only one of the two has. */
  readonly onlyFirst: readonly string[];
  readonly onlySecond: readonly string[];
  /** The main group's centre in both, laid on each other, metres; null where one has none. */
  readonly centre: { readonly before: Vec3; readonly after: Vec3; readonly moved: number } | null;
  readonly plumb: { readonly before: Vec2; readonly after: Vec2 } | null;
  /** Margins in metres; null where there is no edge to measure to. */
  readonly margin: { readonly before: number | null; readonly after: number | null };
  readonly verdict: { readonly before: Verdict; readonly after: Verdict } | null;
}
