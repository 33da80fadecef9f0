import type { Vec2, Vec3 } from '../../geometry/types.ts';

/**
 * A point through which something outside pushes on the body. A contact patch is given as the
 * vertices of its convex outline: a pressure anywhere inside it is a sum of forces at the vertices,
 * so with one friction coefficient this is exact and needs no torsional friction (mechanics.md 2.1).
 */
export interface ContactPoint {
  /** World position, metres. */
  readonly point: Vec3;
  /** Surface normal pointing at the body; any length but 0. */
  readonly normal: Vec3;
  /** Coulomb friction coefficient, >= 0: |tangential force| <= friction * normal force. */
  readonly friction: number;
  /**
   * The most that the contact presses along its normal, in body weights (for several bodies: in
   * weights of the body it acts on). Without it the contact takes any push, also a wedged one
   * (mechanics.md 2.4). Points of one patch share one cap: the smallest that any of them gives.
   */
  readonly cap?: number | undefined;
  /** Points with the same name are one contact: they share a cap and their loads are summed. */
  readonly patch?: string | undefined;
  /**
   * A hand closed round the thing: this point carries a force in any direction, also a pull, up to
   * this size in body weights (`Infinity`: of any size). Normal, friction and cap then do not matter.
   */
  readonly hold?: number | undefined;
}

/**
 * `'round'`: true circular friction cones. A number: pyramids of that many edges inside the cones,
 * which lose up to 1 - cos(pi / edges) of the friction between their edges (mechanics.md 2.3).
 */
export type ConeShape = 'round' | number;

export interface RegionOptions {
  /** Default `'round'`. A number must be a whole number of at least 3. */
  readonly edges?: ConeShape | undefined;
  /** No boundary point of the region lies farther than this from the polygon; metres, default 1e-3. */
  readonly tolerance_m?: number | undefined;
  /** How far from the contacts' mean an unbounded region is still drawn; metres, default 5. */
  readonly reach_m?: number | undefined;
}

/** All places of the centre, in plan, for which contact forces in balance exist. */
export interface Region {
  readonly kind: 'region';
  /**
   * (x, z) metres, convex, counter-clockwise seen with x right and z up. Two vertices: the region is
   * a line; one: a point. The polygon lies inside the region that it stands for, never outside.
   */
  readonly vertices: readonly Vec2[];
  readonly area_m2: number;
  /** True: the hull of coplanar contacts, no approximation (mechanics.md 1.2). */
  readonly exact: boolean;
  /**
   * No point of the true region (round cones) lies farther than this outside the polygon, metres.
   * Infinity when pyramids were asked for and the round cones leave the region unbounded.
   */
  readonly error_m: number;
}

/** The contacts can squeeze or pull without limit, so that the centre may lie as far out as one likes. */
export interface UnboundedRegion {
  readonly kind: 'unbounded';
  /**
   * Unit directions in plan in which the region goes on for ever. `wedge`: all directions from the
   * first counter-clockwise to the second (x right, z up); `line`: both; `plane`: every direction,
   * the list is empty.
   */
  readonly directions: readonly Vec2[];
  readonly shape: 'ray' | 'line' | 'wedge' | 'half-plane' | 'plane';
  /** The part of it within `reach_m` of the contacts' mean along x and z, for drawing. */
  readonly within: {
    readonly reach_m: number;
    /** The middle of that square: the contacts' mean, metres. */
    readonly about: Vec2;
    readonly vertices: readonly Vec2[];
    readonly area_m2: number;
  };
}

/** Why no place of the centre can be in balance. */
export type EmptyReason =
  /** Nothing touches. */
  | 'no contact'
  /** With enough friction the contacts would carry. */
  | 'too slippery'
  /** Without the caps (or the limits of holds) the contacts would carry. */
  | 'caps too low'
  /** No friction whatever would let these contacts carry the weight. */
  | 'nothing carries';

export interface EmptyRegion {
  readonly kind: 'empty';
  readonly reason: EmptyReason;
}

export type EquilibriumRegion = Region | UnboundedRegion | EmptyRegion;
