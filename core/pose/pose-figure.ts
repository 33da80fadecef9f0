import { type Body, PATCHES, type PatchName, SEGMENTS, type SegmentName } from '../body/types.ts';
import { applyTransform } from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import type { Pose, PosedFigure } from './types.ts';

/** Index of every segment's parent in SEGMENTS (parents come first), -1 for the root. */
const parentsOf = (body: Body): Int8Array =>
  Int8Array.from(SEGMENTS, (name) => {
    const parent = body.segments[name].parent;
    return parent === null ? -1 : SEGMENTS.indexOf(parent);
  });

// One tree for all bodies; the first body gives it.
let parents: Int8Array | null = null;

/**
 * Forward kinematics: world placement of every segment and the mass centre of the figure.
 * Rotations that are not quite unit are used as they are; a zero mass sum cannot occur (buildBody).
 */
export function poseFigure(body: Body, pose: Pose): PosedFigure {
  parents ??= parentsOf(body);
  const placed: Transform[] = [];
  const joints = pose.joints as Readonly<Partial<Record<SegmentName, Quat>>>;
  let cx = 0;
  let cy = 0;
  let cz = 0;
  let mass = 0;
  // Written out instead of multiply/rotate calls: this runs for every figure on every edit and frame.
  for (let i = 0; i < SEGMENTS.length; i++) {
    const name = SEGMENTS[i] as SegmentName;
    const segment = body.segments[name];
    let px: number;
    let py: number;
    let pz: number;
    let qx: number;
    let qy: number;
    let qz: number;
    let qw: number;
    const p = parents[i] as number;
    if (p < 0) {
      [px, py, pz] = pose.position;
      [qx, qy, qz, qw] = pose.rotation;
    } else {
      const { position, rotation } = placed[p] as Transform;
      const [ax, ay, az, aw] = rotation;
      const o = segment.offset;
      const tx = 2 * (ay * o[2] - az * o[1]);
      const ty = 2 * (az * o[0] - ax * o[2]);
      const tz = 2 * (ax * o[1] - ay * o[0]);
      px = position[0] + o[0] + aw * tx + ay * tz - az * ty;
      py = position[1] + o[1] + aw * ty + az * tx - ax * tz;
      pz = position[2] + o[2] + aw * tz + ax * ty - ay * tx;
      const turn = joints[name];
      if (turn) {
        const [bx, by, bz, bw] = turn;
        qx = aw * bx + ax * bw + ay * bz - az * by;
        qy = aw * by - ax * bz + ay * bw + az * bx;
        qz = aw * bz + ax * by - ay * bx + az * bw;
        qw = aw * bw - ax * bx - ay * by - az * bz;
      } else {
        qx = ax;
        qy = ay;
        qz = az;
        qw = aw;
      }
    }
    placed.push({ position: [px, py, pz], rotation: [qx, qy, qz, qw] });
    const m = segment.mass;
    if (m > 0) {
      const c = segment.centre;
      const tx = 2 * (qy * c[2] - qz * c[1]);
      const ty = 2 * (qz * c[0] - qx * c[2]);
      const tz = 2 * (qx * c[1] - qy * c[0]);
      // Relative to the root, so that a figure far from the origin keeps its digits.
      cx += m * (px - pose.position[0] + c[0] + qw * tx + qy * tz - qz * ty);
      cy += m * (py - pose.position[1] + c[1] + qw * ty + qz * tx - qx * tz);
      cz += m * (pz - pose.position[2] + c[2] + qw * tz + qx * ty - qy * tx);
      mass += m;
    }
  }
  const at = placed as unknown as readonly [
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
    Transform,
  ];
  return {
    body,
    // A literal in the order of SEGMENTS: one hidden shape, several times quicker than adding keys.
    segments: {
      pelvis: at[0],
      abdomen: at[1],
      chest: at[2],
      head: at[3],
      upperArmL: at[4],
      forearmL: at[5],
      handL: at[6],
      upperArmR: at[7],
      forearmR: at[8],
      handR: at[9],
      thighL: at[10],
      shankL: at[11],
      footL: at[12],
      toesL: at[13],
      thighR: at[14],
      shankR: at[15],
      footR: at[16],
      toesR: at[17],
    },
    centre: [
      pose.position[0] + cx / mass,
      pose.position[1] + cy / mass,
      pose.position[2] + cz / mass,
    ],
  };
}

/** World place of a point given in a segment's frame, metres. */
export const pointOn = (posed: PosedFigure, segment: SegmentName, local: Vec3): Vec3 =>
  applyTransform(posed.segments[segment], local);

/** World middle of a palm, on its skin (centroid of the palm patch), metres. */
export function palmCentre(posed: PosedFigure, side: 'L' | 'R'): Vec3 {
  return pointOn(posed, `hand${side}`, palmLocal(posed.body, side));
}

/** Middle of a palm in the hand's frame, metres. */
export function palmLocal(body: Body, side: 'L' | 'R'): Vec3 {
  const { outline } = body.patches[`palm${side}`];
  const mean = (axis: 0 | 1 | 2): number =>
    outline.reduce((sum, corner) => sum + corner[axis], 0) / outline.length;
  return [mean(0), mean(1), mean(2)];
}

/** Height of the lowest corner of the named patches (all when left out), metres. */
export function lowestPoint(posed: PosedFigure, patches: readonly PatchName[] = PATCHES): number {
  let lowest = Infinity;
  for (const name of patches) {
    const { segment, outline } = posed.body.patches[name];
    for (const corner of outline) {
      lowest = Math.min(lowest, pointOn(posed, segment, corner)[1]);
    }
  }
  return lowest;
}

/** The pose moved up or down so that the lowest corner of any patch is at y = 0. */
export function standOnFloor(body: Body, pose: Pose): Pose {
  const lift = lowestPoint(poseFigure(body, pose));
  const [x, y, z] = pose.position;
  return { ...pose, position: [x, y - lift, z] };
}
