import type { Body, TableName } from '../body/types.ts';
import { distance } from '../geometry/vec3.ts';
import { poseFigure } from '../pose/pose-figure.ts';
import type { JointCorrections } from './clip-corrections.ts';
import { type ClipRig, clipPose, jointsAt, sampleFrames } from './clip-frame.ts';
import type { ClipMapping, MappedSegment } from './clip-mapping.ts';
import type { ClipMotion } from './clip-motion.ts';

export interface ClipOptions {
  /** Joints that a person set for segments, in the place of those that were found. */
  readonly joints?: JointCorrections;
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

/** Stature taken when neither stature nor scale is given, metres; the report says so. */
export const ASSUMED_STATURE = 1.7;

/** Mean distance between the figure's joints and the clip's over the clip, metres. */
export function missOf(rig: ClipRig, body: Body): number {
  const { legs, arms } = rig.mapping;
  let sum = 0;
  let count = 0;
  for (const frame of sampleFrames(rig.motion, 30)) {
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

// No number is below nought by rounding alone.
const cm = (metres: number): string => `${(Math.round(metres * 1000) / 10 || 0).toFixed(1)} cm`;

function unusedWords(count: number): string {
  if (count === 0) return '';
  return count === 1
    ? '; 1 moves nothing of its own'
    : `; ${count} move nothing of their own (fingers, collar bones, further joints of the back)`;
}

/** What was found out about a clip, to be told. */
interface Findings {
  readonly motion: ClipMotion;
  readonly mapping: ClipMapping;
  readonly options: ClipOptions;
  /** Metres per unit of the file, and what it was taken from. */
  readonly scale: number;
  readonly scaleFrom: 'scale' | 'metres' | 'stature';
  readonly body: Body;
  readonly floor: ClipReport['floor'];
  /** Most that a foot was turned to be level, radians. */
  readonly tilt: number;
  readonly jointMiss: number;
  /** How the file was read, as sentences. */
  readonly remarks: readonly string[];
}

export function sentencesOf(found: Findings): string[] {
  const { motion, mapping, options, scale, body, floor, tilt, jointMiss } = found;
  const byPlace = mapping.segments.filter(
    ({ how, segment }) => how === 'place' && !/pelvis|chest/.test(segment),
  );
  const seconds = (motion.frameCount * motion.frameTime).toFixed(2);
  const { stature } = body.spec;
  const sentences = [
    `${motion.frameCount} ${motion.frameCount === 1 ? 'frame' : 'frames'} at ${(1 / motion.frameTime).toFixed(2)} a second, ${seconds} s.`,
    ...found.remarks,
    `${mapping.segments.length} of ${motion.joints.length} joints move the figure${byPlace.length === 0 ? '' : `, ${byPlace.length} of them found by their place in the skeleton, not by name`}${unusedWords(mapping.unused.length)}.`,
  ];
  if (found.scaleFrom === 'metres') {
    sentences.push(`The file is in metres: the figure is about ${stature.toFixed(2)} m tall.`);
  } else if (found.scaleFrom === 'scale') {
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
      'No foot rests long enough to find the floor by: every frame is set on the floor for itself.',
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
