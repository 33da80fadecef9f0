import type { Body, TableName } from '../body/types.ts';
import { between, conjugate, IDENTITY, multiply, rotate } from '../geometry/quat.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import { distance, length } from '../geometry/vec3.ts';
import { lowestPoint, poseFigure } from '../pose/pose-figure.ts';
import type { Pose } from '../pose/types.ts';
import type { Scene, Surface } from '../scene/types.ts';
import { readBvh } from './bvh.ts';
import type { BvhClip } from './bvh-types.ts';
import { clipBody, scaleFor, statureFor } from './clip-body.ts';
import { floorAt, floorLine, type Standing } from './clip-floor.ts';
import {
  type ClipRig,
  clipPose,
  jointsAt,
  measureClip,
  median,
  rigClip,
  sampleFrames,
} from './clip-frame.ts';
import { type ClipMapping, type MappedSegment, mapClip } from './clip-mapping.ts';

export interface ClipOptions {
  /** Standing height of the figure, metres: sets the scale unless `scale` is given. */
  readonly stature?: number;
  /** Metres per unit of the file. */
  readonly scale?: number;
  /** Kilograms. */
  readonly mass: number;
  readonly table: TableName;
  /** Name of the clip and its figure, e.g. the file's; "Clip" when left out. */
  readonly name?: string;
}

/** What was made of a clip, for the person who brought it. */
export interface ClipReport {
  readonly mapping: readonly MappedSegment[];
  /** Joints of the file that move nothing of the figure. */
  readonly unused: readonly string[];
  /** Metres per unit of the file. */
  readonly scale: number;
  /** Stature of the figure as built, metres. */
  readonly stature: number;
  /** Height of the recorded floor at the first and last frame, metres, before it was taken off; null when none was found. */
  readonly floor: { readonly start: number; readonly end: number } | null;
  /** Mean distance of the figure's joints from the clip's, metres. */
  readonly jointMiss: number;
  readonly sentences: readonly string[];
}

export interface Clip {
  readonly name: string;
  /** Frames per second. */
  readonly rate: number;
  readonly frameCount: number;
  readonly report: ClipReport;
  /** The clip's body, the same in every frame. */
  readonly body: Body;
  /** Places and turns of the figure at a frame (from 0; held inside the clip), standing on y = 0. */
  poseAt(frame: number): Pose;
  /** One figure on a floor at y = 0, all contacts `auto`. Reckoned anew at each call. */
  sceneAt(frame: number): Scene;
}

export type ClipRead =
  | { readonly ok: true; readonly clip: Clip }
  | { readonly ok: false; readonly message: string; readonly line: number };

/** Stature taken when neither stature nor scale is given, metres; the report says so. */
const ASSUMED_STATURE = 1.7;

// A page asks again with another mass or stature while the file stays the same.
let lastRead: { text: string; read: ReturnType<typeof readBvh> } | null = null;

/**
 * Reads a recorded clip (BVH) as a figure that can be weighed at every frame. Never throws for a bad
 * file; throws RangeError for a mass or stature that no body can have (see buildBody).
 *
 * - Scale: `scale` if given; else legs and trunk get their share of `stature` (clip-body.ts).
 * - Body: bone lengths follow the clip, so that weighed joints are where the clip's are.
 * - Turns: each segment follows its joint from the clip's zero pose (clip-frame.ts); soles are set
 *   level where the feet rest.
 * - Floor: found from where the feet rest (clip-floor.ts) and taken off, so that it is y = 0. Figures
 *   stay where they were recorded in plan.
 */
export function readClip(text: string, options: ClipOptions): ClipRead {
  if (lastRead?.text !== text) lastRead = { text, read: readBvh(text) };
  const { read } = lastRead;
  if (!read.ok) return read;
  const mapping = mapClip(read.clip);
  if (mapping === null) {
    return {
      ok: false,
      line: 1,
      message:
        'No two legs were found in the skeleton. Name the joints of each leg, for instance LeftUpLeg, LeftLeg, LeftFoot; nothing was changed.',
    };
  }
  return { ok: true, clip: makeClip(read.clip, mapping, options) };
}

function makeClip(bvh: BvhClip, mapping: ClipMapping, options: ClipOptions): Clip {
  const plain = rigClip(bvh, mapping);
  const lengths = measureClip(plain);
  const wanted = options.stature ?? ASSUMED_STATURE;
  const scale = options.scale ?? scaleFor(lengths, options.table, wanted);
  const stature = options.scale ? statureFor(lengths, options.table, options.scale) : wanted;
  const scaled: ClipRig = { ...plain, scale };
  const body = clipBody(scaled, options.table, stature, options.mass);
  // Too few frames to see speed in: single poses, each taken to stand on the lower foot or both.
  const still = bvh.frameCount < STILL_FRAMES;
  const resting = still ? lowerFeet(scaled, bvh) : restingFeet(scaled, bvh);
  const { rig, tilt } = levelFeet(scaled, resting);
  const line = still ? null : floorLine(standings(rig, body, resting), bvh.frameTime);
  const last = bvh.frameCount - 1;
  const name = options.name ?? 'Clip';

  const poseAt = (frame: number): Pose => {
    const at = Math.min(last, Math.max(0, Math.round(frame)));
    const pose = clipPose(rig, body, at);
    const [x, y, z] = pose.position;
    // Without resting feet there is nothing to find a floor from: each frame stands on its lowest point.
    const height = line ? floorAt(line, at) : lowestPoint(poseFigure(body, pose));
    return { ...pose, position: [x, y - height, z] };
  };
  const floor = line ? { start: floorAt(line, 0), end: floorAt(line, last) } : null;
  const jointMiss = missOf(rig, body);
  const report: ClipReport = {
    mapping: mapping.segments,
    unused: mapping.unused,
    scale,
    stature: body.spec.stature,
    floor,
    jointMiss,
    sentences: sentencesOf(bvh, mapping, options, scale, body, floor, tilt, jointMiss),
  };
  return {
    name,
    rate: 1 / bvh.frameTime,
    frameCount: bvh.frameCount,
    report,
    body,
    poseAt,
    sceneAt: (frame) => ({
      figures: [{ id: 'figure', name, body: body.spec, pose: poseAt(frame), contacts: {} }],
      loads: [],
      surfaces: [FLOOR],
      grips: [],
    }),
  };
}

const FLOOR: Surface = {
  id: 'floor',
  name: 'Floor',
  kind: 'floor',
  position: [0, 0, 0],
  rotation: [0, 0, 0, 1],
  size: null,
  friction: 0.7,
};

type Side = 'L' | 'R';

/** A foot that rests at a frame: its toe joint is slow; flat: so is its ankle. */
interface RestingFoot {
  readonly frame: number;
  readonly side: Side;
  readonly flat: boolean;
}

/** Slower than this a foot rests, m/s: a swinging foot does 1-4, noise of a recording about 0.05. */
const RESTING_SPEED = 0.2;
const SAMPLES = 600;

function restingFeet(rig: ClipRig, bvh: BvhClip): RestingFoot[] {
  const found: RestingFoot[] = [];
  // Over a span of about 1/30 s, so that frame rate and rounding of the file do not matter.
  const step = Math.max(1, Math.round(1 / 30 / bvh.frameTime));
  for (const frame of sampleFrames(bvh, SAMPLES)) {
    if (frame + step >= bvh.frameCount) continue;
    const now = jointsAt(rig, frame);
    const next = jointsAt(rig, frame + step);
    for (const side of ['L', 'R'] as const) {
      const { lower, tip } = rig.mapping.legs[side];
      const speed = (i: number): number =>
        distance(now[i]?.position ?? ORIGIN, next[i]?.position ?? ORIGIN) / (step * bvh.frameTime);
      const flat = speed(lower) < RESTING_SPEED;
      if (speed(tip < 0 ? lower : tip) < RESTING_SPEED) found.push({ frame, side, flat });
    }
  }
  return found;
}

const ORIGIN: Vec3 = [0, 0, 0];

/** Clips shorter than this are taken as single poses. */
const STILL_FRAMES = 10;
/** An ankle less than this above the other one may stand too, metres. */
const BOTH_STAND = 0.06;

function lowerFeet(rig: ClipRig, bvh: BvhClip): RestingFoot[] {
  return sampleFrames(bvh, STILL_FRAMES).flatMap((frame) => {
    const joints = jointsAt(rig, frame);
    const height = (side: Side): number => joints[rig.mapping.legs[side].lower]?.position[1] ?? 0;
    const lower = Math.min(height('L'), height('R'));
    return (['L', 'R'] as const)
      .filter((side) => height(side) <= lower + BOTH_STAND)
      .map((side) => ({ frame, side, flat: true }));
  });
}

/** Soles that rest tilted by less than this are meant to be flat, radians. */
const MAX_TILT = (45 * Math.PI) / 180;

/**
 * Corrects how the feet are laid on the clip's: a foot joint's zero turn need not be a flat sole, but a
 * foot that rests is mostly flat, so the median of the world's up in the resting foot is its up.
 */
function levelFeet(rig: ClipRig, resting: readonly RestingFoot[]): { rig: ClipRig; tilt: number } {
  const align = { ...rig.align };
  let most = 0;
  for (const side of ['L', 'R'] as const) {
    const { lower, tip } = rig.mapping.legs[side];
    const frames = resting.filter((rest) => rest.side === side && rest.flat);
    if (frames.length < (rig.clip.frameCount < STILL_FRAMES ? 1 : 4)) continue;
    for (const [segment, joint] of [
      [`foot${side}`, lower],
      [`toes${side}`, tip],
    ] as const) {
      const laid = align[segment];
      if (!laid) continue;
      const level = levelling(rig, joint, laid, frames);
      if (level === null) continue;
      align[segment] = multiply(laid, level);
      most = Math.max(most, 2 * Math.acos(Math.min(1, Math.abs(level[3]))));
    }
  }
  return { rig: { ...rig, align }, tilt: most };
}

/** Turn that brings the median up of a resting joint onto the segment's own; null where it is no tilt but another way to lie. */
function levelling(
  rig: ClipRig,
  joint: number,
  laid: Quat,
  frames: readonly RestingFoot[],
): Quat | null {
  const ups = frames.map(({ frame }) => {
    const turn = jointsAt(rig, frame)[joint]?.rotation ?? IDENTITY;
    return rotate(conjugate(multiply(turn, laid)), UP);
  });
  const up: Vec3 = [
    median(ups.map((u) => u[0])),
    median(ups.map((u) => u[1])),
    median(ups.map((u) => u[2])),
  ];
  return up[1] >= Math.cos(MAX_TILT) * length(up) ? between(UP, up) : null;
}

const UP: Vec3 = [0, 1, 0];

/**
 * The lowest corner of every foot that rests, by frame. Of each foot, not of the figure: where a knee
 * and two feet carry, their recorded heights differ by centimetres and the floor belongs between them.
 */
function standings(rig: ClipRig, body: Body, resting: readonly RestingFoot[]): Standing[] {
  if (resting.length < 4) return [];
  return resting.map(({ frame, side }) => {
    const posed = poseFigure(body, clipPose(rig, body, frame));
    const [x, , z] = posed.segments[`foot${side}`].position;
    return { frame, point: [x, lowestPoint(posed, [`sole${side}`, `toes${side}`]), z] };
  });
}

/** Mean distance between the figure's joints and the clip's over the clip, metres. */
function missOf(rig: ClipRig, body: Body): number {
  const { legs, arms } = rig.mapping;
  let sum = 0;
  let count = 0;
  for (const frame of sampleFrames(rig.clip, 30)) {
    const joints = jointsAt(rig, frame);
    const { segments } = poseFigure(body, clipPose(rig, body, frame));
    for (const side of ['L', 'R'] as const) {
      const pairs = [
        [`thigh${side}`, legs[side].upper],
        [`shank${side}`, legs[side].middle],
        [`foot${side}`, legs[side].lower],
        [`upperArm${side}`, arms[side].upper],
        [`forearm${side}`, arms[side].middle],
        [`hand${side}`, arms[side].lower],
      ] as const;
      for (const [segment, joint] of pairs) {
        const place = joints[joint]?.position;
        if (!place) continue;
        sum += distance(segments[segment].position, place);
        count++;
      }
    }
  }
  return count === 0 ? 0 : sum / count;
}

const cm = (metres: number): string => `${(metres * 100).toFixed(1)} cm`;

function sentencesOf(
  bvh: BvhClip,
  mapping: ClipMapping,
  options: ClipOptions,
  scale: number,
  body: Body,
  floor: ClipReport['floor'],
  tilt: number,
  jointMiss: number,
): string[] {
  const byPlace = mapping.segments.filter(
    ({ how, segment }) => how === 'place' && !/pelvis|chest/.test(segment),
  );
  const seconds = (bvh.frameCount * bvh.frameTime).toFixed(2);
  const { stature } = body.spec;
  const sentences = [
    `${bvh.frameCount} ${bvh.frameCount === 1 ? 'frame' : 'frames'} at ${(1 / bvh.frameTime).toFixed(2)} a second, ${seconds} s.`,
    `${mapping.segments.length} of ${bvh.joints.length} joints move the figure${byPlace.length === 0 ? '' : `, ${byPlace.length} of them found by their place in the skeleton, not by name`}; ${mapping.unused.length} are not used (fingers, collar bones, further joints of the back).`,
  ];
  if (options.scale !== undefined) {
    sentences.push(
      `Scale as given, ${scale} m a unit: the figure is about ${stature.toFixed(2)} m tall.`,
    );
  } else {
    const source =
      options.stature === undefined
        ? `No stature or scale given: ${ASSUMED_STATURE.toFixed(2)} m taken`
        : `Stature ${options.stature.toFixed(2)} m`;
    sentences.push(
      `${source}; legs and trunk have their share of it at ${scale.toPrecision(4)} m a unit.`,
    );
  }
  if (options.stature !== undefined && Math.abs(stature - options.stature) > 0.005) {
    sentences.push(
      `The clip's limbs fit a stature of ${stature.toFixed(2)} m better; the figure is built so.`,
    );
  }
  if (floor === null) {
    sentences.push(
      'No foot rests long enough to find the floor by: every frame stands on its lowest point.',
    );
  } else {
    const drift = floor.end - floor.start;
    sentences.push(
      Math.abs(drift) < 0.005
        ? `The recorded floor was at ${cm(floor.start)}; it is now at 0.`
        : `The recorded floor went from ${cm(floor.start)} to ${cm(floor.end)} along the way; that drift is taken off.`,
    );
  }
  if (tilt > 0.02) {
    sentences.push(
      `Soles are set level where the feet rest (${Math.round((tilt * 180) / Math.PI)}° taken off).`,
    );
  }
  sentences.push(`The figure's joints lie ${cm(jointMiss)} from the clip's on average.`);
  if (mapping.arms.L.upper < 0) sentences.push('No arms were found: they hang at the sides.');
  return sentences;
}
