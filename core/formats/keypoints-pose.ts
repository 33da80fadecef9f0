import type { Body, PatchName, SegmentName } from '../body/types.ts';
import {
  between,
  conjugate,
  IDENTITY,
  multiply,
  normaliseQuat,
  rotate,
  slerp,
} from '../geometry/quat.ts';
import type { Quat, Vec2, Vec3 } from '../geometry/types.ts';
import { dot, normalise, scale, subtract } from '../geometry/vec3.ts';
import { lowestPoint, poseFigure } from '../pose/pose-figure.ts';
import type { Pose } from '../pose/types.ts';
import { headingTurn } from '../scene/facing.ts';
import { fromAxes } from './clip-frame.ts';
import { KEYPOINTS, type Sight } from './keypoints-read.ts';

export type PointName =
  | 'nose'
  | `${'left' | 'right'}_${'eye' | 'ear' | 'shoulder' | 'elbow' | 'wrist' | 'hip' | 'knee' | 'ankle'}`;

/** Points of one person in metres to the right and up in the picture plane. */
export interface PlanePoints {
  at(name: PointName): Vec2 | null;
  sight(name: PointName): Sight;
}

export function planePoints(points: readonly { at: Vec2; sight: Sight }[]): PlanePoints {
  const byName = new Map(points.map((point, i) => [KEYPOINTS[i] as string, point]));
  return {
    at: (name) => {
      const point = byName.get(name);
      return point === undefined || point.sight === 'missing' ? null : point.at;
    },
    sight: (name) => byName.get(name)?.sight ?? 'missing',
  };
}

const WORD = { L: 'left', R: 'right' } as const;
const SIDES = ['L', 'R'] as const;
type Side = (typeof SIDES)[number];

const minus = (a: Vec2, b: Vec2): Vec2 => [a[0] - b[0], a[1] - b[1]];
const middle = (a: Vec2 | null, b: Vec2 | null): Vec2 | null =>
  a && b ? [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] : null;

/** Middle of a pair of points, or the one of them that is there. */
export const pairMiddle = (
  points: PlanePoints,
  part: 'hip' | 'shoulder' | 'ear' | 'eye',
): Vec2 | null => {
  const [left, right] = [points.at(`left_${part}`), points.at(`right_${part}`)];
  return middle(left, right) ?? left ?? right;
};

/**
 * Which way a figure faces, as sine and cosine of its turn from facing the camera towards the
 * picture's right: the breadth of hips and shoulders as seen, over the body's, is the cosine; the face
 * against the ears or shoulders gives the side. Null where neither pair is there.
 */
export function headingSeen(body: Body, points: PlanePoints): Vec2 | null {
  let seen = 0;
  let whole = 0;
  for (const [part, width] of [
    ['hip', 2 * body.segments.thighL.offset[0]],
    ['shoulder', 2 * body.segments.upperArmL.offset[0]],
  ] as const) {
    const [left, right] = [points.at(`left_${part}`), points.at(`right_${part}`)];
    if (!left || !right) continue;
    seen += left[0] - right[0];
    whole += width;
  }
  if (whole === 0) return null;
  const cos = Math.max(-1, Math.min(1, seen / whole));
  return [sideSeen(points) * Math.sqrt(1 - cos * cos), cos];
}

/** 1 where the face looks to the picture's right, -1 to its left; by the feet's way without a face. */
function sideSeen(points: PlanePoints): 1 | -1 {
  const nose = points.at('nose') ?? pairMiddle(points, 'eye');
  const back = pairMiddle(points, 'ear') ?? pairMiddle(points, 'shoulder');
  if (nose && back) return nose[0] >= back[0] ? 1 : -1;
  // Knees bend forwards: a knee stands ahead of the line from hip to ankle.
  let ahead = 0;
  for (const side of SIDES) {
    const [hip, knee, ankle] = (['hip', 'knee', 'ankle'] as const).map((part) =>
      points.at(`${WORD[side]}_${part}`),
    );
    if (hip && knee && ankle) ahead += knee[0] - (hip[0] + ankle[0]) / 2;
  }
  return ahead >= 0 ? 1 : -1;
}

/** A bone this near to its full length in the picture lies in the picture plane; own choice. */
const IN_PLANE = 0.95;
/** From here down its depth counts in full; between the two it comes in by and by, since there a length that is 1 % out means 8 degrees and more. */
const IN_DEPTH = 0.75;

/**
 * Direction of a bone of known length whose picture is `seen`: the picture's own direction, and out of
 * the plane what is missing in length, on the side that people bend to (`ahead`: cosine of the heading
 * where it bends forwards, the negative where backwards). In a side picture the bone stays in the plane.
 */
function boneDirection(seen: Vec2, length: number, ahead: number): Vec3 | null {
  const size = Math.hypot(seen[0], seen[1]);
  if (size < 1e-9 && Math.abs(ahead) < 0.1) return null;
  const share = Math.min(1, size / length);
  const fade = Math.max(0, Math.min(1, (IN_PLANE - share) / (IN_PLANE - IN_DEPTH)));
  const depth = fade * Math.sqrt(1 - share * share) * ahead;
  const flat = Math.sqrt(1 - depth * depth);
  const [x, y] = size < 1e-9 ? [0, 0] : [seen[0] / size, seen[1] / size];
  return [x * flat, y * flat, depth];
}

export interface FittedFigure {
  /** Before any floor: heights are those of the picture plane. */
  readonly pose: Pose;
  /** Parts that the picture does not show, laid as their parent is or as the other side. */
  readonly assumed: readonly SegmentName[];
}

/**
 * Lays a body on the points of one picture: mid-hips where the picture has them (depth 0), trunk straight
 * with the pelvis, every limb along its bone in the picture, soles level under `standing` ankles.
 * Null where no hip or no shoulder is there: then there is no trunk to lay.
 * @param heading sine and cosine as in headingSeen
 * @param standing feet that stand: their soles are laid level
 */
export function fitFigure(
  body: Body,
  points: PlanePoints,
  [sin, cos]: Vec2,
  standing: readonly Side[],
): FittedFigure | null {
  const hips = pairMiddle(points, 'hip');
  const shoulders = pairMiddle(points, 'shoulder');
  if (!hips || !shoulders) return null;
  const { segments } = body;
  const yaw = headingTurn([sin, cos]);
  const world = layTrunk(body, points, [sin, cos], hips, shoulders);
  const trunk = world.get('chest') ?? yaw;
  const pelvis = world.get('pelvis') ?? yaw;
  const assumed: SegmentName[] = [];

  const lay = (name: SegmentName, above: Quat, direction: Vec3 | null, rest: Vec3): Quat => {
    if (direction === null) {
      assumed.push(name);
      return above;
    }
    // The least turn from its parent, so that an elbow or knee only bends.
    const turn = multiply(between(rotate(above, rest), direction), above);
    world.set(name, turn);
    return turn;
  };
  const bone = (from: Vec2 | null, to: Vec2 | null, length: number, ahead: number): Vec3 | null =>
    from && to ? boneDirection(minus(to, from), length, ahead) : null;

  const face = pairMiddle(points, 'ear') ?? points.at('nose') ?? pairMiddle(points, 'eye');
  const neckUp = rotate(trunk, [0, segments.head.offset[1] - segments.upperArmL.offset[1], 0]);
  const neck: Vec2 = [shoulders[0] + neckUp[0], shoulders[1] + neckUp[1]];
  lay('head', trunk, face ? boneDirection(minus(face, neck), 1e-6, 0) : null, UP);
  for (const side of SIDES) {
    const at = (part: Part): Vec2 | null => points.at(`${WORD[side]}_${part}`);
    const [shoulder, elbow, wrist] = [at('shoulder'), at('elbow'), at('wrist')];
    const [hip, knee, ankle] = [at('hip'), at('knee'), at('ankle')];
    const forearm = -segments[`forearm${side}`].offset[1];
    const hand = -segments[`hand${side}`].offset[1];
    const arm = lay(`upperArm${side}`, trunk, bone(shoulder, elbow, forearm, cos), DOWN);
    lay(`forearm${side}`, arm, bone(elbow, wrist, hand, cos), DOWN);
    const shank = -segments[`shank${side}`].offset[1];
    const foot = -segments[`foot${side}`].offset[1];
    const thigh = bone(hip, knee, shank, cos);
    // A leg that is not shown hangs down, whatever the trunk does.
    const upper = lay(`thigh${side}`, thigh ? pelvis : yaw, thigh, DOWN);
    world.set(`thigh${side}`, upper);
    const lower = lay(`shank${side}`, upper, bone(knee, ankle, foot, -cos), DOWN);
    world.set(`foot${side}`, standing.includes(side) ? yaw : lower);
  }
  return {
    assumed,
    pose: {
      position: [hips[0], hips[1], 0],
      rotation: normaliseQuat(pelvis),
      joints: localTurns(body, world),
    },
  };
}

const UP: Vec3 = [0, 1, 0];
const DOWN: Vec3 = [0, -1, 0];

type Part = 'shoulder' | 'elbow' | 'wrist' | 'hip' | 'knee' | 'ankle';

/**
 * Pelvis, abdomen and chest: hips and shoulders each lie along their own line in the picture, the depth
 * of it from the heading; between them the trunk goes straight.
 */
function layTrunk(
  body: Body,
  points: PlanePoints,
  [sin, cos]: Vec2,
  hips: Vec2,
  shoulders: Vec2,
): Map<SegmentName, Quat> {
  const { abdomen, chest, thighL, upperArmL } = body.segments;
  const length = abdomen.offset[1] + chest.offset[1] + upperArmL.offset[1];
  const up = boneDirection(minus(shoulders, hips), length, cos) ?? UP;
  const turned = (part: 'hip' | 'shoulder', width: number): Quat => {
    const [left, right] = [points.at(`left_${part}`), points.at(`right_${part}`)];
    const [x, y] = left && right ? minus(left, right) : [cos * width, 0];
    const along = normalise([x, y, -sin * width], [cos, 0, -sin]);
    const straight = subtract(up, scale(along, dot(up, along)));
    return fromAxes(along, normalise(straight));
  };
  const pelvis = turned('hip', 2 * thighL.offset[0]);
  const top = turned('shoulder', 2 * upperArmL.offset[0]);
  const from = rotate(pelvis, abdomen.offset);
  const to = subtract(scale(up, length), rotate(top, [0, upperArmL.offset[1], 0]));
  const half = slerp(pelvis, top, 0.5);
  const straightened = between(rotate(half, UP), subtract(to, from));
  return new Map([
    ['pelvis', pelvis],
    ['abdomen', multiply(straightened, half)],
    ['chest', top],
  ]);
}

function localTurns(body: Body, world: ReadonlyMap<SegmentName, Quat>): Pose['joints'] {
  const turnOf = (name: SegmentName): Quat => {
    for (let at: SegmentName | null = name; at !== null; at = body.segments[at].parent) {
      const turn = world.get(at);
      if (turn) return turn;
    }
    return IDENTITY;
  };
  const joints: Partial<Record<Exclude<SegmentName, 'pelvis'>, Quat>> = {};
  for (const [name, turn] of world) {
    const { parent } = body.segments[name];
    if (name === 'pelvis' || parent === null) continue;
    joints[name] = normaliseQuat(multiply(conjugate(turnOf(parent)), turn));
  }
  return joints;
}

/** Height of a foot's lowest point. */
export const soleHeight = (body: Body, pose: Pose, side: Side): number =>
  lowestPoint(poseFigure(body, pose), [`sole${side}`, `toes${side}`]);

/** Patches of a foot. */
export const footPatches = (side: Side): PatchName[] => [`sole${side}`, `toes${side}`];
