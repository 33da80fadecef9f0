import type { Body, SegmentName } from '../body/types.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';

/**
 * A pose: where the pelvis is in the world, and how each segment is turned against its parent.
 * A missing joint is at rest (identity). At rest the figure stands upright, arms hanging.
 */
export interface Pose {
  /** Mid-hip in the world, metres. */
  readonly position: Vec3;
  /** Pelvis rotation in the world. */
  readonly rotation: Quat;
  /** Rotation of a segment against its parent, keyed by the segment below the joint. */
  readonly joints: Readonly<Partial<Record<Exclude<SegmentName, 'pelvis'>, Quat>>>;
}

/** A body in a pose: world placement of every segment's frame, and its mass centre. */
export interface PosedFigure {
  readonly body: Body;
  readonly segments: Readonly<Record<SegmentName, Transform>>;
  /** World mass centre, metres. */
  readonly centre: Vec3;
}
