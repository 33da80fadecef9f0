import type { Quat, Transform, Vec3 } from '../geometry/types.ts';

/**
 * The rigid parts of a body, parents before children. `pelvis` is the root; `toes` are a massless
 * joint inside the foot (the published tables give one mass for heel-to-toe-tip).
 * L and R are the figure's own left and right.
 */
export const SEGMENTS = [
  'pelvis',
  'abdomen',
  'chest',
  'head',
  'upperArmL',
  'forearmL',
  'handL',
  'upperArmR',
  'forearmR',
  'handR',
  'thighL',
  'shankL',
  'footL',
  'toesL',
  'thighR',
  'shankR',
  'footR',
  'toesR',
] as const;

export type SegmentName = (typeof SEGMENTS)[number];

/** Published segment tables that a figure can be built on. */
export const TABLES = [
  'deleva-female',
  'deleva-male',
  'dempster-winter',
  'jensen-child',
  'jensen-elderly-female',
  'jensen-elderly-male',
] as const;
export type TableName = (typeof TABLES)[number];

/** What a figure stands on. */
export const FOOT_FORMS = ['foot', 'paw', 'hoof'] as const;
export type FootForm = (typeof FOOT_FORMS)[number];

/** Parts that no published body has. A neck lifts the head; the others hang on their parent. */
export const EXTRA_KINDS = ['tail', 'wingL', 'wingR', 'hump', 'neck'] as const;
export type ExtraKind = (typeof EXTRA_KINDS)[number];

/** One extra part of a stylised figure, as set. */
export interface ExtraSpec {
  readonly kind: ExtraKind;
  /** What it grows out of; a neck always stands on the chest. */
  readonly parent: SegmentName;
  /** Length and radius at its root, as shares of the stature. */
  readonly length: number;
  readonly girth: number;
  /** Share of the body's whole mass; the rest of the body is closed to what is left. */
  readonly mass: number;
  /** Turned from how it grows, about its root, in the parent's frame. Left out: not turned. */
  readonly turn?: Quat;
  /** Bent over its whole length about its own sideways axis, radians. Left out: straight. */
  readonly curl?: number;
}

/** Areas of the body that can carry weight. */
export const PATCHES = [
  'soleL',
  'toesL',
  'soleR',
  'toesR',
  'palmL',
  'palmR',
  'kneeL',
  'kneeR',
  'forearmL',
  'forearmR',
  'seat',
  'back',
  'tailTip',
] as const;
export type PatchName = (typeof PATCHES)[number];

/** What a person sets about a figure's body; everything else is derived from it. */
export interface BodySpec {
  readonly table: TableName;
  /** Standing height, metres. */
  readonly stature: number;
  /** Whole-body mass, kilograms. */
  readonly mass: number;
  /**
   * Overrides for stylised figures, as factors on what the table gives (1 = as the table says).
   * After mass factors are applied all segment masses are scaled so that they still sum to `mass`.
   */
  readonly overrides?: Readonly<Partial<Record<SegmentName, SegmentOverride>>>;
  /** Years, 4 to 18; read by the child table alone (left out: 8). */
  readonly age?: number;
  /** Left out: a foot. */
  readonly feet?: FootForm;
  /** Extra parts by id. */
  readonly extras?: Readonly<Record<string, ExtraSpec>>;
}

export interface SegmentOverride {
  /** Factor on the segment's length (and on its children's joint offsets along it). */
  readonly length?: number;
  /**
   * Factor on the distance between the hip joints (pelvis) or the shoulder joints (chest); left out:
   * the factor of the length. Other segments have none.
   */
  readonly width?: number;
  /** Factor on the drawn girth. */
  readonly girth?: number;
  /** Factor on the segment's mass share before the shares are closed to 1. */
  readonly mass?: number;
}

/** Rotation range of a joint, radians, about the parent's rest axes; see core/body. */
export interface JointLimits {
  /** Rotation about x: positive tips the segment's top forward (its lower end back). */
  readonly x: readonly [min: number, max: number];
  /** Rotation about y (twist). */
  readonly y: readonly [min: number, max: number];
  /** Rotation about z (sideways). */
  readonly z: readonly [min: number, max: number];
  /**
   * True where bending and sideways are two joints, one above the other (the ankle and the joint below
   * it): neither narrows the other. Left out: one ball, whose swing ends at an ellipse.
   */
  readonly apart?: true;
}

/** One rigid part of a built body. Its frame sits on its proximal joint, axis-aligned at rest. */
export interface Segment {
  readonly name: SegmentName;
  readonly parent: SegmentName | null;
  /** Proximal joint in the parent's frame, metres. The root's offset is [0, 0, 0]. */
  readonly offset: Vec3;
  /** Distal end in this segment's own frame, metres. */
  readonly end: Vec3;
  /** Kilograms, with the extra parts that hang on it. */
  readonly mass: number;
  /** Mass centre in this segment's own frame, metres, with the extra parts that hang on it. */
  readonly centre: Vec3;
  /** Radius for drawing at the proximal and distal end, metres. */
  readonly girth: readonly [proximal: number, distal: number];
  readonly limits: JointLimits;
}

/** One straight link of an extra part; a tail is a chain of them. */
export interface ExtraLink {
  /** In the parent segment's frame; the link runs along its own +Y. */
  readonly at: Transform;
  readonly length: number;
  /** Radius at both ends. */
  readonly girth: readonly [near: number, far: number];
}

/** An extra part as built, metres and kilograms. It moves with its parent as one piece. */
export interface Extra {
  readonly id: string;
  readonly kind: ExtraKind;
  readonly parent: SegmentName;
  readonly mass: number;
  /** Mass centre in the parent's frame. */
  readonly centre: Vec3;
  readonly links: readonly ExtraLink[];
}

/** Where a segment's mass comes from. */
export interface Weighed {
  /** Kilograms, without extra parts. */
  readonly mass: number;
  /** Share of body mass as printed (children: between the printed ages). */
  readonly published: number;
  /** Factor set by hand. */
  readonly factor: number;
  /** Factor that closes all shares to the body's mass. */
  readonly closing: number;
}

/** An area of the body that can rest on a surface: a convex planar outline on one segment. */
export interface Patch {
  readonly name: PatchName;
  readonly segment: SegmentName;
  /** Outward unit normal, in the segment's frame (a sole's points down). */
  readonly normal: Vec3;
  /** Convex outline in the segment's frame, metres, in order; empty where the body has no such part. */
  readonly outline: readonly Vec3[];
  /**
   * The part of it over which people can really carry themselves: same frame, convex, in order.
   * For a foot it spans sole and toes and hangs on the `sole` patch; null where the patch has none
   * of its own (then `toes` of the same foot: covered by the sole's) .
   */
  readonly functional: readonly Vec3[] | null;
}

/** A body ready to be posed: lengths in metres, masses in kilograms, sums closed. */
export interface Body {
  readonly spec: BodySpec;
  readonly segments: Readonly<Record<SegmentName, Segment>>;
  readonly patches: Readonly<Record<PatchName, Patch>>;
  readonly extras: readonly Extra[];
  /** Where every segment's mass comes from. */
  readonly weighed: Readonly<Record<SegmentName, Weighed>>;
  /** Height of the pelvis origin (mid-hip) above the floor, standing upright at rest, metres. */
  readonly hipHeight: number;
  /** Heel to toe tip, metres. */
  readonly footLength: number;
  /** How the table was closed or what was assumed, as sentences for the weight ledger. */
  readonly remarks: readonly string[];
}
