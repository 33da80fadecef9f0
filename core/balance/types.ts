import type { Contact } from '../contact/types.ts';
import type { Vec2, Vec3 } from '../geometry/types.ts';

export const VERDICTS = [
  'holds',
  'teeters',
  'falls',
  'airborne',
  'carried',
  'held',
  'unknown',
] as const;
export type Verdict = (typeof VERDICTS)[number];

/** The outline round everything that carries weight, in plan. */
export interface Support {
  readonly kind: 'none' | 'point' | 'line' | 'area';
  /** Hull vertices in plan, (x, z) metres, counter-clockwise seen with x right and z up. */
  readonly polygon: readonly Vec2[];
  /** Hull of the functional parts. */
  readonly functional: readonly Vec2[];
  readonly area: number;
  /** Ids of the contacts that the polygon is made from. */
  readonly contacts: readonly string[];
  /**
   * `hull`: the outline round level contacts. `region`: contacts at different heights, tilted or on a
   * side (a wall, a back): every place of the centre at which pushes within friction can hold it. Of
   * several bodies joined by grips or standing on each other: every place to which one of them can
   * bring the common centre, the others staying, so that each balances itself.
   */
  readonly basis: 'hull' | 'region';
  /**
   * True where the polygon is the whole truth about one body at rest. False for several joined bodies:
   * whether the plumb point lies inside is exact there, but moving two at once may reach farther.
   */
  readonly exact: boolean;
  /** True where the region has no end; the polygon is then the part within 5 m of the contacts. */
  readonly unbounded?: boolean;
  /** Of an unbounded one: indices of the polygon's edges that are no border but the end of what is drawn. */
  readonly open?: readonly number[];
}

/**
 * Where the plumb point is against the support. Distances in metres, positive inside. None (null) also
 * where the support has no edge at all: braced without limit.
 */
export interface Margin {
  /** Signed distance from the plumb point to the edge of the support. */
  readonly distance: number;
  /** distance / radius of the largest circle inside the support; null on a support without area. */
  readonly ratio: number | null;
  /** Signed distance to the edge of the functional support; null where there is none. */
  readonly functional: number | null;
  /** Nearest edge, in plan. */
  readonly edge: { readonly from: Vec2; readonly to: Vec2; readonly nearest: Vec2 };
  /** Unit direction in plan from the plumb point to that edge (inside), or in which it falls (outside). */
  readonly direction: Vec2;
  /** The direction as a word relative to the figure, e.g. "forwards", "to the left". */
  readonly heading: string;
  /** As a share of foot length (same sign as distance); null in a group without a figure. */
  readonly footShare: number | null;
  /**
   * Angle to tip towards it, radians; 0 outside. On a level support that about its edge; on a region
   * the tilt of gravity at which it tips or slides.
   */
  readonly tipAngle: number;
}

/** The three readings and what they mean, for a group or for one figure alone. */
export interface Reading {
  readonly mass: number | null;
  readonly centre: Vec3 | null;
  /** The plumb point, in plan. */
  readonly plumb: Vec2 | null;
  readonly support: Support;
  readonly margin: Margin | null;
  /** Where the line lands along the foot: 0 heel, 1 toe tip; null when the feet do not say one thing. */
  readonly footPosition: number | null;
  readonly verdict: Verdict;
  /** One plain sentence with numbers and units. */
  readonly sentence: string;
}

export interface FigureReading extends Reading {
  readonly figure: string;
  /** Id of the group that the figure belongs to. */
  readonly group: string;
  /** The verdict of that group, which stands beside the figure's own. */
  readonly groupVerdict: Verdict;
  /**
   * The loads that it carries and which part of each: 1, or an equal share of a load that several
   * figures hold (each takes its part at the load's own centre).
   */
  readonly carries: readonly { readonly load: string; readonly share: number }[];
  /** Mass centre of the body without any load, metres. */
  readonly bodyCentre: Vec3;
}

export interface GroupReading extends Reading {
  readonly id: string;
  /** Ids of the figures and loads joined by holds, closed grips and standing on each other. */
  readonly members: readonly string[];
}

export interface BalanceReport {
  readonly groups: readonly GroupReading[];
  /** Each figure with what it carries, every grip to a partner let go. */
  readonly figures: readonly FigureReading[];
  readonly contacts: readonly Contact[];
  /** World placement of loads, keyed by id, metres. */
  readonly loads: Readonly<Record<string, { readonly centre: Vec3 }>>;
}
