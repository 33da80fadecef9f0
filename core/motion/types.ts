import type { GroupReading, Verdict } from '../balance/index.ts';
import type { Vec2, Vec3 } from '../geometry/index.ts';
import type { Scene } from '../scene/index.ts';
import type { PointMasses } from './angular-momentum.ts';
import type { ContactSpan, EditedContact } from './contact-spans.ts';
import type { Noise } from './derivatives.ts';
import type { Flight } from './flight.ts';
import type { GroundForce, PressurePoint } from './pressure.ts';
import type { Rise } from './rise-from-seat.ts';
import type { Gait, SupportSpan } from './support-changes.ts';

/** Frames of scenes at a steady rate: a recorded clip, or keyed poses between their keys. */
export interface ClipSource {
  /** Frames a second. */
  readonly rate: number;
  readonly frameCount: number;
  /** The scene at a frame, from 0. */
  sceneAt(frame: number): Scene;
}

export interface WeighClipOptions {
  /** Cut-off of the low-pass, hertz; default 6, at most a quarter of the rate. */
  readonly cutoff?: number;
  /** The figure whose group is weighed; the first group of each scene when left out. */
  readonly figure?: string;
  /**
   * When each patch carries: found by height and speed over the clip when left out, or as given (spans
   * that were edited), or `single`: each frame as if it were a single pose.
   */
  readonly contacts?: readonly ContactSpan[] | 'single';
  /** Patches whose spans a person set, in the place of those found. */
  readonly edited?: readonly EditedContact[];
  /** Frames between two reports of progress; default 250. */
  readonly chunk?: number;
  /** Whether the slowest speed of the same motion that still carries is looked for; default false. */
  readonly slowest?: boolean;
}

/** One frame of a clip, weighed in motion. Metres, seconds, kilograms, newtons. */
export interface ClipFrame {
  readonly frame: number;
  /** Seconds from the first frame. */
  readonly time: number;
  /** The group at rest. */
  readonly reading: GroupReading;
  /** Of the centre; null while it has none. */
  readonly velocity: Vec3 | null;
  readonly acceleration: Vec3 | null;
  /** Extrapolated centre at the centre's height; null in the air. */
  readonly extrapolated: Vec3 | null;
  /** Signed distance from it to the edge of the support, positive inside. */
  readonly marginOfStability: number | null;
  /** Angular momentum about the centre, kg m2/s, segments as point masses. */
  readonly momentum: Vec3;
  /** Centre of pressure that the motion asks for; null in the air. */
  readonly pressure: PressurePoint | null;
  readonly ground: GroundForce | null;
  /** Level speed that brings the centre over the support, and what it has that way. */
  readonly needed: number | null;
  readonly has: number | null;
  readonly topplesIn: number | null;
  /** In motion; the verdict at rest is the reading's. */
  readonly verdict: Verdict;
  readonly sentence: string;
}

/** A clip, weighed. Plain data: it may be posted from a worker or written as JSON. */
export interface ClipReading {
  readonly rate: number;
  readonly frameCount: number;
  readonly frames: readonly ClipFrame[];
  /** When each patch carries, as used; empty where each frame was read as a single pose. */
  readonly contacts: readonly ContactSpan[];
  /** What carries, from change to change. */
  readonly spans: readonly SupportSpan[];
  readonly flights: readonly Flight[];
  /** Moments at which a seat lets go, with the speed that rising needs. */
  readonly rises: readonly (Rise & { readonly frame: number })[];
  /** Steps of the first figure of the group; null without one. */
  readonly gait: Gait | null;
  /** Cut-off in use, hertz. */
  readonly cutoff: number;
  readonly noise: Noise;
  /** Frames of each verdict. */
  readonly counts: Readonly<Partial<Record<Verdict, number>>>;
  /** The frame that falls with the lowest margin of stability, else the lowest margin there is. */
  readonly worst: number | null;
  /** First frame from which the body could stop over its support until the clip ends; null if never. */
  readonly stopsFrom: number | null;
  /**
   * Slowest share of the clip's speed at which no frame falls: 1 as drawn, below 1 slower, above 1 faster
   * (it falls as drawn), null where no speed carries it (time-scaling.ts). Only when it was asked for.
   */
  readonly slowest?: number | null;
  /** How it was reckoned, and what to know about it. */
  readonly sentences: readonly string[];
}

/** What one frame gives before its neighbours are known. */
export interface FrameSample {
  readonly reading: GroupReading;
  readonly parts: readonly string[];
  /** Height of the lowest contact, metres; null without one. */
  readonly floor: number | null;
  readonly forward: Vec2;
  /** Heel to toe tip and stature of the heaviest figure, metres; null without a figure. */
  readonly footLength: number | null;
  readonly stature: number | null;
  readonly figure: string | null;
  readonly points: PointMasses;
}

/** What is known while a clip is being weighed. */
export interface ClipProgress {
  /** Finding the contacts, weighing the frames at rest, judging them in motion: one after the other. */
  readonly stage: 'contacts' | 'weighing' | 'judging';
  /** Frames of this stage. */
  readonly done: number;
  readonly total: number;
  /**
   * Readings at rest of the frames since the last report, so that a strip can fill as it goes; empty in
   * the other stages.
   */
  readonly from: number;
  readonly readings: readonly GroupReading[];
}
