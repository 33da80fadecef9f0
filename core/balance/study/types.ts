import type { PatchName, SegmentName } from '../../body/types.ts';
import type { Vec2, Vec3 } from '../../geometry/types.ts';
import type { Verdict } from '../types.ts';
import type { GripStudy, LetGo, Pull } from './grip-types.ts';
import type { Band, Told } from './told.ts';

export type {
  Drop,
  GripForces,
  GripStudy,
  LetGo,
  Moment,
  PartAfter,
  Pull,
  Topple,
} from './grip-types.ts';
export type { Band, CannotTell, Told } from './told.ts';

/**
 * What `study` tells about a scene beyond the readings of `assess`. Plain data all through: no NaN, no
 * Infinity (null stands for "without limit"), ready for JSON and for structured clone. Newtons,
 * kilograms, metres, seconds, radians.
 */
export interface Study {
  /** One per connected group, sorted by id as in the balance report. */
  readonly groups: readonly GroupStudy[];
}

export interface StudyOptions {
  /** Frames a second in which times are also told, default 24. */
  readonly rate?: number | undefined;
  /** Height above the lowest contact at which figures are pushed, metres; default: each one's chest. */
  readonly pushHeight?: number | undefined;
  /** Directions in which tipping is tried, default 16, evenly round from forwards to the left. */
  readonly directions?: number | undefined;
}

export const SUBJECTS = [
  'loads',
  'friction',
  'tipping',
  'pushes',
  'edges',
  'grips',
  'letting go',
  'implied weight',
  'partner',
  'growth',
  'reaching',
  'sensitivity',
  'sturdiness',
] as const;
export type Subject = (typeof SUBJECTS)[number];

export interface Sentence {
  readonly subject: Subject;
  readonly text: string;
}

export interface GroupStudy {
  /** As in the balance report. */
  readonly id: string;
  readonly members: readonly string[];
  readonly verdict: Verdict;
  readonly loads: Told<ContactLoads>;
  readonly friction: Told<FrictionDemand>;
  readonly tipping: Told<Tipping>;
  /** One per figure. */
  readonly pushes: readonly Told<Pushes>[];
  readonly edges: Told<Edges>;
  /** Closed grips, by id; empty without. */
  readonly grips: readonly GripStudy[];
  /** What would pass between each two bodies that grips join, if they pulled level. */
  readonly pulls: readonly Pull[];
  /** One per closed grip, per two that hold on by several, per closed hand (and both), and per carried load. */
  readonly letGo: readonly LetGo[];
  /** One per load that someone carries. */
  readonly implied: readonly ImpliedWeight[];
  /** One per figure of a group of several: the masses that it may have. */
  readonly partners: readonly PartnerMass[];
  /** One per carried load: what lifts first when it grows. */
  readonly growth: readonly Growth[];
  /** One per carried load: how far forward it may be moved. */
  readonly reach: readonly ReachOut[];
  /** One per figure. */
  readonly sensitivity: readonly Sensitivity[];
  readonly sturdiness: Told<Sturdiness>;
  /** Every sentence above once, in the order of SUBJECTS, to be read out. */
  readonly sentences: readonly Sentence[];
}

// ---- what the contacts carry

export interface ContactLoads {
  /** Weight of the group, newtons. */
  readonly weight_N: number;
  /** In the order of the report's contacts; only those that stand on something outside the group. */
  readonly contacts: readonly ContactShare[];
  /** Feet that touch, by figure, left before right. */
  readonly feet: readonly FootShare[];
  /** Contacts inside the group: one member on another. */
  readonly between: readonly ContactShare[];
  /** False where the likely values are a middle of the range because friction is at its very limit. */
  readonly springs: boolean;
}

export interface ContactShare {
  /** Id of the contact, as in the report. */
  readonly contact: string;
  readonly owner: string;
  readonly patch: PatchName | 'underside';
  /** Upward force on the owner; negative where friction pulls down. */
  readonly vertical_N: Band;
  /** The same as shares of the group's weight. */
  readonly share: Band;
  /** Statics alone decides (range under 0.1 % of the weight). */
  readonly unique: boolean;
  /** The equal-spring value: a convention, say "likely". */
  readonly likely_N: number;
  readonly likelyShare: number;
  /** Friction used of friction available at the likely force; null where it carries nothing. */
  readonly frictionUsed: number | null;
  /** The likely force as an arrow for the elevation; null where it carries nothing. */
  readonly arrow: Arrow | null;
}

export interface Arrow {
  /** World point where it acts (the contact's own centre of pressure), metres. */
  readonly at: Vec3;
  /** On the owner, newtons. */
  readonly force_N: Vec3;
}

export interface FootShare {
  readonly figure: string;
  readonly side: 'L' | 'R';
  readonly vertical_N: Band;
  readonly share: Band;
  readonly unique: boolean;
  readonly likely_N: number;
  readonly likelyShare: number;
  /** Parts of the likely share (they add up to it) on the heel and on the ball with the toes. */
  readonly heelShare: number;
  readonly ballShare: number;
  /** Friction used of friction available by sole and toes together; null where the foot carries nothing. */
  readonly frictionUsed: number | null;
}

// ---- friction, tipping, pushes

export interface FrictionDemand {
  /** Smallest factor on all coefficients with which it is still held; 0: needs no friction. */
  readonly scale: number;
  /** Smallest coefficient that would do if every contact had the same; 0: none. */
  readonly needed: number;
  /** Smallest coefficient among the contacts as they are. */
  readonly available: number;
  /** What happens first when it is tilted or pushed in its weakest direction. */
  readonly first: 'tips' | 'slides' | 'never';
}

export interface TipDirection {
  readonly direction: Vec2;
  readonly heading: string;
  /** Tilt towards it at which it tips or slides; pi / 2 where nothing ends it. */
  readonly angle: number;
  readonly ends: 'tips' | 'slides' | 'never';
}

export interface Tipping {
  readonly directions: readonly TipDirection[];
  readonly weakest: TipDirection;
  /**
   * Least energy that takes it over an edge; null where the border is friction's, not an edge's, and for
   * joined bodies: they give way at their grips, so no one turn over an edge is theirs.
   */
  readonly energy_J: number | null;
  /** By how much its centre must rise for that, metres. */
  readonly rise_m: number | null;
  /** Contacts that make the edge it tips over in the weakest direction. */
  readonly over: readonly string[];
}

export interface Pushes {
  readonly figure: string;
  /** Where it is pushed, metres. */
  readonly at: Vec3;
  /** From the front, from behind, from its left, from its right; always in that order. */
  readonly pushes: readonly SidePush[];
}

export interface SidePush {
  readonly from: 'front' | 'behind' | 'left' | 'right';
  /** Of the push, plan. */
  readonly direction: Vec2;
  /** Largest level push that it takes; null: any. */
  readonly force_N: number | null;
  readonly ends: 'tips' | 'slides' | 'never';
}

export interface Edges {
  readonly edges: readonly SupportEdge[];
  /** Index of the edge nearest to the plumb point; null where the support has no end. */
  readonly nearest: number | null;
}

export interface SupportEdge {
  readonly from: Vec2;
  readonly to: Vec2;
  /** Which side of the support it is, by the facing of the heaviest figure: "front", "back left". */
  readonly side: string;
  /** Ids of the contacts that carry everything when the centre is on this edge. */
  readonly contacts: readonly string[];
  /**
   * `outline`: an edge of the contacts themselves. `friction`: made by pushes against each other.
   * `grips`: where joined bodies can no longer hold each other.
   */
  readonly made: 'outline' | 'friction' | 'grips';
}

// ---- what must be so for the pose to hold

export type MassBand =
  | { readonly kind: 'none' }
  | {
      readonly kind: 'range';
      readonly least_kg: number;
      /** null: any heavier one too. */
      readonly most_kg: number | null;
      /** As shares of the carriers' body mass. */
      readonly leastShare: number;
      readonly mostShare: number | null;
    };

export type CentringMass =
  | { readonly kind: 'mass'; readonly mass_kg: number; readonly share: number }
  /** It hangs over the centre: its mass moves nothing. */
  | { readonly kind: 'any' }
  | { readonly kind: 'as heavy as can be' }
  | { readonly kind: 'none' };

export interface ImpliedWeight {
  readonly load: string;
  /** As set; null: unknown. */
  readonly mass_kg: number | null;
  readonly answer: Told<ImpliedAnswer>;
}

export interface ImpliedAnswer {
  /** Masses with which the pose holds (functional support). */
  readonly holds: MassBand;
  /** Masses with which it does not fall (whole support); contains `holds`. */
  readonly teeters: MassBand;
  /** The mass that puts the centre best over the support: a convention, not a measurement. */
  readonly centring: CentringMass;
}

export interface PartnerMass {
  readonly figure: string;
  readonly mass_kg: number;
  readonly answer: Told<{ readonly holds: MassBand; readonly teeters: MassBand }>;
}

export interface Growth {
  readonly load: string;
  readonly answer: Told<{
    /** Contacts that lift first, at the likely loads, and the mass at which they do. */
    readonly lifts: readonly string[];
    readonly lifts_kg: number | null;
    /** Mass from which it falls; null: never. */
    readonly falls_kg: number | null;
  }>;
}

export interface ReachOut {
  readonly load: string;
  readonly figure: string;
  readonly answer: Told<{
    /** How much farther forward the load may go before it teeters, then falls; null: any distance. */
    readonly teeters_m: number | null;
    readonly falls_m: number | null;
  }>;
}

// ---- how far to trust it

export interface JointPull {
  readonly figure: string;
  /** The segment below the joint. */
  readonly joint: Exclude<SegmentName, 'pelvis'>;
  /** With the other side's joint, where both legs stand. */
  readonly both: boolean;
  readonly axis: 'flexion' | 'abduction' | 'rotation';
  /** How the plumb point of the group moves for one degree, metres in plan. */
  readonly perDegree_m: Vec2;
  readonly size_m: number;
}

export interface Sensitivity {
  readonly figure: string;
  readonly answer: Told<{
    /** Strongest first; each joint once, with its strongest axis. */
    readonly joints: readonly JointPull[];
  }>;
}

export interface Sturdiness {
  /** Whether the verdict is the same under all of them. */
  readonly sturdy: boolean;
  readonly under: readonly UnderTable[];
}

export interface UnderTable {
  /** Name of the table, or "segment masses 10 % off": the way, of eight, that speaks most against it. */
  readonly name: string;
  readonly verdict: Verdict;
  readonly margin_m: number | null;
}
