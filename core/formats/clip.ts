import type { Body } from '../body/types.ts';
import { lowestPoint, poseFigure } from '../pose/pose-figure.ts';
import type { Pose } from '../pose/types.ts';
import type { Scene, Surface } from '../scene/types.ts';
import { readBvh } from './bvh.ts';
import type { BvhClip } from './bvh-types.ts';
import { clipBody, scaleFor, statureFor } from './clip-body.ts';
import {
  layToes,
  levelFeet,
  lowerFeet,
  restingFeet,
  STILL_FRAMES,
  standings,
} from './clip-feet.ts';
import { floorAt, floorLine } from './clip-floor.ts';
import { type ClipRig, clipPose, measureClip, rigClip } from './clip-frame.ts';
import { type ClipMapping, mapClip } from './clip-mapping.ts';
import {
  ASSUMED_STATURE,
  type ClipOptions,
  type ClipReport,
  missOf,
  sentencesOf,
} from './clip-report.ts';

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

// A page asks again while a person changes the mass, and again with nothing changed when it renders.
let lastText: { text: string; read: ReturnType<typeof readBvh> } | null = null;
let lastClip: { text: string; options: string; result: ClipRead } | null = null;

/**
 * Reads a recorded clip (BVH) as a figure that can be weighed at every frame. Never throws for a bad
 * file; throws RangeError for a mass outside 1-1000 kg or a stature outside 0.4-3.5 m.
 *
 * - Scale: `scale` if given; else legs and trunk get their share of `stature` (clip-body.ts).
 * - Body: bone lengths follow the clip, so that weighed joints are where the clip's are.
 * - Turns: each segment follows its joint from the clip's zero pose (clip-frame.ts); soles are set
 *   level where the feet rest, and toes near the floor are laid on it (clip-feet.ts).
 * - Floor: found from where the feet rest (clip-floor.ts) and taken off, so that it is y = 0. Figures
 *   stay where they were recorded in plan.
 */
export function readClip(text: string, options: ClipOptions): ClipRead {
  const { stature, mass } = options;
  if (stature !== undefined && !(stature >= STATURES[0] && stature <= STATURES[1])) {
    throw new RangeError(
      `Stature must lie between ${STATURES[0]} and ${STATURES[1]} m, got ${stature}`,
    );
  }
  if (!(mass >= 1 && mass <= 1000)) {
    throw new RangeError(`Mass must lie between 1 and 1000 kg, got ${mass}`);
  }
  const key = JSON.stringify(options);
  if (lastClip?.text === text && lastClip.options === key) return lastClip.result;
  const result = read(text, options);
  lastClip = { text, options: key, result };
  return result;
}

function read(text: string, options: ClipOptions): ClipRead {
  if (lastText?.text !== text) lastText = { text, read: readBvh(text) };
  const bvh = lastText.read;
  if (!bvh.ok) return bvh;
  const mapping = mapClip(bvh.clip);
  if (mapping === null) {
    return {
      ok: false,
      line: 1,
      message:
        'No two legs were found in the skeleton. Name the joints of each leg, for instance LeftUpLeg, LeftLeg, LeftFoot; nothing was changed.',
    };
  }
  const trouble = sizeTrouble(bvh.clip, mapping, options);
  if (trouble !== null) return { ok: false, line: 1, message: trouble };
  return { ok: true, clip: makeClip(bvh.clip, mapping, options) };
}

/** Statures that a clip's figure may have, metres; what buildBody takes, less a margin for the limbs' fit. */
const STATURES = [0.4, 3.5] as const;

function sizeTrouble(bvh: BvhClip, mapping: ClipMapping, options: ClipOptions): string | null {
  const lengths = measureClip(rigClip(bvh, mapping));
  const { thigh, shank, hipWidth } = lengths;
  const bones = [thigh.L, thigh.R, shank.L, shank.R, hipWidth];
  if (!bones.every((bone) => bone > 1e-6 && bone < 1e6)) {
    return 'The legs of the skeleton have no usable length: every thigh and shank needs an OFFSET that is not 0. Nothing was changed.';
  }
  if (options.scale === undefined) return null;
  const stature = statureFor(lengths, options.table, options.scale);
  if (stature >= STATURES[0] && stature <= STATURES[1]) return null;
  return `At ${options.scale} m a unit the figure would be ${stature.toPrecision(3)} m tall. Give another scale, or a stature instead. Nothing was changed.`;
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
  const stood = standings(rig, body, resting);
  const line = still || stood.length < 4 ? null : floorLine(stood, bvh.frameTime);
  const last = bvh.frameCount - 1;
  const name = options.name ?? 'Clip';

  const heightAt = (frame: number, pose: Pose): number => {
    if (line) return floorAt(line, frame);
    // No floor over time: both feet's middle in a single pose, else the lowest point of all.
    const heights = stood.filter((at) => still && at.frame === frame).map(({ point }) => point[1]);
    return heights.length > 0
      ? heights.reduce((sum, height) => sum + height, 0) / heights.length
      : lowestPoint(poseFigure(body, pose));
  };
  const poseAt = (frame: number): Pose => {
    const at = Math.min(last, Math.max(0, Math.round(frame)));
    const pose = clipPose(rig, body, at);
    const [x, y, z] = pose.position;
    return layToes(body, { ...pose, position: [x, y - heightAt(at, pose), z] });
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
