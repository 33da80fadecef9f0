import type { Body } from '../body/types.ts';
import { between, conjugate, IDENTITY, multiply, rotate, slerp } from '../geometry/quat.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import { distance, length } from '../geometry/vec3.ts';
import { lowestPoint, poseFigure } from '../pose/pose-figure.ts';
import type { Pose } from '../pose/types.ts';
import type { Standing } from './clip-floor.ts';
import { type ClipRig, clipPose, jointsAt, median, sampleFrames } from './clip-frame.ts';

type Side = 'L' | 'R';

/** A foot that rests at a frame: its toe joint is slow; flat: so is its ankle. */
export interface RestingFoot {
  readonly frame: number;
  readonly side: Side;
  readonly flat: boolean;
}

/** Slower than this a foot rests, m/s: a swinging foot does 1-4, noise of a recording about 0.05. */
const RESTING_SPEED = 0.2;
const SAMPLES = 600;

/** Feet that rest, over up to 600 frames spread evenly. */
export function restingFeet(rig: ClipRig): RestingFoot[] {
  const { frameCount, frameTime } = rig.motion;
  const found: RestingFoot[] = [];
  // Over a span of about 1/30 s, so that frame rate and rounding of the file do not matter.
  const step = Math.max(1, Math.round(1 / 30 / frameTime));
  for (const frame of sampleFrames(rig.motion, SAMPLES)) {
    if (frame + step >= frameCount) continue;
    const now = jointsAt(rig, frame);
    const next = jointsAt(rig, frame + step);
    for (const side of ['L', 'R'] as const) {
      const { lower, tip } = rig.mapping.legs[side];
      const speed = (i: number): number =>
        distance(now[i]?.position ?? ORIGIN, next[i]?.position ?? ORIGIN) / (step * frameTime);
      const flat = speed(lower) < RESTING_SPEED;
      if (speed(tip < 0 ? lower : tip) < RESTING_SPEED) found.push({ frame, side, flat });
    }
  }
  return found;
}

const ORIGIN: Vec3 = [0, 0, 0];

/** Clips shorter than this are taken as single poses. */
export const STILL_FRAMES = 10;
/** An ankle less than this above the other one may stand too, metres. */
const BOTH_STAND = 0.06;

/** Feet that may stand in a clip too short to see speed in: the lower one, and the other if it is near its height. */
export function lowerFeet(rig: ClipRig): RestingFoot[] {
  return sampleFrames(rig.motion, STILL_FRAMES).flatMap((frame) => {
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
export function levelFeet(
  rig: ClipRig,
  resting: readonly RestingFoot[],
): { rig: ClipRig; tilt: number } {
  const align = { ...rig.align };
  let most = 0;
  for (const side of ['L', 'R'] as const) {
    const { lower, tip } = rig.mapping.legs[side];
    const frames = resting.filter((rest) => rest.side === side && rest.flat);
    if (frames.length < (rig.motion.frameCount < STILL_FRAMES ? 1 : 4)) continue;
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
export function standings(rig: ClipRig, body: Body, resting: readonly RestingFoot[]): Standing[] {
  // Of the sole, whose ball stays down when the heel rises: toes are as stiff here as they were recorded.
  return resting.map(({ frame, side }) => {
    const posed = poseFigure(body, clipPose(rig, body, frame));
    const [x, , z] = posed.segments[`foot${side}`].position;
    return { frame, point: [x, lowestPoint(posed, [`sole${side}`]), z] };
  });
}

/** Toe joints up to this far above their height on the floor have their toes on it, metres. */
const TOES_DOWN = 0.02;
/** From here on they are as recorded; in between they pass from one to the other, metres. */
const TOES_FREE = 0.05;

/**
 * Bends the toes up where a foot stands on them with its heel raised, as far as they go: they then lie
 * on the floor (y = 0). Recordings have a stiff foot down to the toe tip, which would push it through
 * the floor and leave nothing to stand on in a push-off or on a knee.
 */
export function layToes(body: Body, pose: Pose): Pose {
  const { segments } = poseFigure(body, pose);
  const joints = { ...pose.joints };
  for (const side of ['L', 'R'] as const) {
    const toes = `toes${side}` as const;
    const { rotation } = segments[`foot${side}`];
    const heelUp = Math.atan2(-rotate(rotation, [0, 0, 1])[1], rotate(rotation, UP)[1]);
    const height = segments[toes].position[1] + (body.patches[toes].outline[0]?.[1] ?? 0);
    const share = Math.min(1, (TOES_FREE - height) / (TOES_FREE - TOES_DOWN));
    if (heelUp <= 0 || share <= 0) continue;
    const bend = Math.max(-heelUp, body.segments[toes].limits.x[0]);
    const level: Quat = [Math.sin(bend / 2), 0, 0, Math.cos(bend / 2)];
    joints[toes] = slerp(joints[toes] ?? IDENTITY, level, share);
  }
  return { ...pose, joints };
}
