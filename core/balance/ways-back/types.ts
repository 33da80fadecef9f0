import type { Pose } from '../../pose/index.ts';
import type { LoadPlace } from '../../scene/index.ts';
import type { GroupReading } from '../types.ts';

/** The ways that are tried, in the order in which they are told. */
export const STRATEGIES = [
  'hips',
  'trunk',
  'lean',
  'one-arm',
  'both-arms',
  'free-leg',
  'step',
  'load-closer',
  'grip-tighter',
] as const;
export type Strategy = (typeof STRATEGIES)[number];

export interface WayOptions {
  /**
   * How far inside the functional support the plumb point is wanted, metres; 0.01 if left out. On a
   * support that is too small for it, half of what there is room for.
   */
  readonly inset?: number;
}

/** What a way changes, as entries of the scene: whole poses, and places of loads, by id. */
export interface Changes {
  readonly poses: Readonly<Record<string, Pose>>;
  readonly loads: Readonly<Record<string, LoadPlace>>;
}

/** One thing that moves. */
export interface Move {
  /** "hips", "left knee", the name of a load or of a partner. */
  readonly part: string;
  /** How far it moves (metres) or turns (radians). */
  readonly by: number;
  readonly unit: 'm' | 'rad';
  /** "hips 9.1 cm back", "left knee 12 degrees". */
  readonly text: string;
}

/** A change after which the figure (with all it is joined to) holds. */
export interface Repair {
  readonly strategy: Strategy;
  readonly changes: Changes;
  /** Reading of the figure's group after it, as `assess` gives it. */
  readonly after: GroupReading;
  /** Biggest first: what is moved, then the joints that turn for it (1 degree or more). */
  readonly moves: readonly Move[];
  /** "Hips 9 cm back: holds, 4 cm of room to the toes." */
  readonly sentence: string;
}

/** Why a strategy does not mend it. */
export interface NoRepair {
  readonly strategy: Strategy;
  readonly cannot: string;
}

export type Way = Repair | NoRepair;

export interface WaysBack {
  readonly figure: string;
  /** The figure's group as it is. */
  readonly before: GroupReading;
  /** False where it holds by the wanted inset as it is: there is nothing to mend, and no way is tried. */
  readonly needed: boolean;
  /** One a strategy, in the order of STRATEGIES; empty where none is needed. */
  readonly ways: readonly Way[];
  /** True where some are needed and none can. */
  readonly none: boolean;
  /** "Three ways back.", "None of these can: ...", "Holds as it is, ...". */
  readonly sentence: string;
}

export const isRepair = (way: Way): way is Repair => !('cannot' in way);
