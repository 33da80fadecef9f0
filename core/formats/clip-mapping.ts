import type { SegmentName } from '../body/types.ts';
import type { Vec3 } from '../geometry/types.ts';
import { distance, scale, subtract } from '../geometry/vec3.ts';
import type { ClipJoint, ClipMotion } from './clip-motion.ts';

/** Which joint of the clip moves a segment, and how that was found out. */
export interface MappedSegment {
  readonly segment: SegmentName;
  readonly joint: string;
  /** `name`: by what the joint is called. `place`: by where it is in the skeleton. `hand`: as a person set it. */
  readonly how: 'name' | 'place' | 'hand';
}

/** Indices of the clip's joints by what they are in a body; -1 where the clip has none. */
export interface LimbJoints {
  readonly upper: number;
  readonly middle: number;
  readonly lower: number;
  /** Toe joint, or the first joint of the fingers. */
  readonly tip: number;
}

export interface ClipMapping {
  readonly pelvis: number;
  readonly chest: number;
  readonly head: number;
  readonly legs: Readonly<Record<'L' | 'R', LimbJoints>>;
  readonly arms: Readonly<Record<'L' | 'R', LimbJoints>>;
  readonly segments: readonly MappedSegment[];
  /** Joints that move nothing of the figure (fingers, collar bones, extra spine joints). */
  readonly unused: readonly string[];
}

type Role =
  | 'toe'
  | 'ankle'
  | 'hip'
  | 'knee'
  | 'finger'
  | 'wrist'
  | 'elbow'
  | 'shoulder'
  | 'shoulderOrCollar'
  | 'collar'
  | 'neck'
  | 'head';

/**
 * Common names, without their side, by how they end (or, for the first two, what they hold). Order
 * matters: "upleg" before "leg", "forearm" before "arm". "shoulder" is a collar bone where the same arm
 * has an "arm" below it, and the shoulder joint where it has none.
 */
const NAMES: readonly (readonly [Role, RegExp])[] = [
  ['finger', /finger|thumb|index|middle|ring|pinky|little|palm|metacarp/],
  ['toe', /toe|ball/],
  ['ankle', /(foot|ankle)$/],
  ['hip', /(upleg|upperleg|thigh|hip|femur)$/],
  ['knee', /(leg|knee|shin|calf|shank|tibia|crus)$/],
  ['wrist', /(hand|wrist)$/],
  ['elbow', /(forearm|lowarm|lowerarm|elbow|ulna|radius)$/],
  ['shoulder', /(arm|humerus)$/],
  ['shoulderOrCollar', /shoulder$/],
  ['collar', /(collar|clavicle|clav)$/],
  ['neck', /neck$/],
  ['head', /head$/],
];

const PARTS =
  /^(hand|foot|finger|thumb|toe|arm|leg|hip|knee|ankle|elbow|wrist|shoulder|collar|thigh|shin|calf|clav)/;

/** Side and role that a name tells, e.g. "LeftUpLeg", "l_thigh", "thigh.R", "lhand". */
export function readJointName(name: string): { side: 'L' | 'R' | null; role: Role | null } {
  const bare = name.slice(Math.max(name.lastIndexOf(':'), name.lastIndexOf('|')) + 1);
  const words = bare
    .slice(0, 80)
    .replace(/([a-z0-9])([A-Z])/g, '$1 $2')
    .replace(/([A-Z])([A-Z][a-z])/g, '$1 $2')
    .toLowerCase()
    .split(/[^a-z]+/)
    .filter((word) => word !== '');
  let side: 'L' | 'R' | null = null;
  const rest: string[] = [];
  for (const word of words) {
    const said = /^(l|r|left|right|lft|rgt)$/.test(word) || /^(left|right)/.test(word);
    const joined = !said && /^[lr]/.test(word) && PARTS.test(word.slice(1)) && !PARTS.test(word);
    if (side === null && (said || joined)) {
      side = word.startsWith('l') ? 'L' : 'R';
      rest.push(joined ? word.slice(1) : word.replace(/^(left|right|lft|rgt|l$|r$)/, ''));
    } else {
      rest.push(word);
    }
  }
  const core = rest.join('');
  const role = NAMES.find(([, pattern]) => pattern.test(core))?.[0] ?? null;
  return { side, role };
}

/**
 * Finds a body in a clip's skeleton. Names come first; a limb whose names do not give all three of its
 * joints in order is found by place: its path is the one that ends lowest (legs) or farthest out
 * (arms) on its side in the zero pose, and its joints are the ends of the last two bones in a row that
 * are both long. Null when no two legs can be found: then there is nothing to stand on.
 */
export function mapClip({ joints, rest }: Pick<ClipMotion, 'joints' | 'rest'>): ClipMapping | null {
  const named = joints.map(({ name }) => readJointName(name));
  const children = joints.map((): number[] => []);
  joints.forEach(({ parent }, i) => {
    children[parent]?.push(i);
  });
  const leaves = joints.map((_, i) => i).filter((i) => children[i]?.length === 0);
  const pathTo = (leaf: number): number[] => {
    const path: number[] = [];
    for (let i = leaf; i >= 0; i = (joints[i] as ClipJoint).parent) path.push(i);
    return path.reverse();
  };
  const paths = leaves.map(pathTo);
  const found = new Map<number, 'name' | 'place'>();

  const byName = (
    side: 'L' | 'R',
    roles: readonly (readonly Role[])[],
    tip: Role,
  ): LimbJoints | null => {
    for (const path of paths) {
      let from = 0;
      const chain = roles.map((options) => {
        for (const role of options) {
          const at = path.findIndex(
            (i, k) => k >= from && named[i]?.side === side && named[i]?.role === role,
          );
          if (at >= 0) {
            from = at + 1;
            return path[at] as number;
          }
        }
        return -1;
      });
      if (chain.some((i) => i < 0)) continue;
      const [upper, middle, lower] = chain as [number, number, number];
      for (const i of chain) found.set(i, 'name');
      return { upper, middle, lower, tip: tipOf(lower, tip) };
    }
    return null;
  };

  /** First joint under `lower` that is away from it: a toe or a finger, best one named so and not a thumb. */
  const tipOf = (lower: number, role: Role): number => {
    const below = joints
      .map((_, i) => i)
      .filter((i) => i > lower && pathTo(i).includes(lower) && away(rest, i, lower));
    const fit = (i: number): boolean =>
      named[i]?.role === role && !/thumb/i.test((joints[i] as ClipJoint).name);
    return below.find(fit) ?? below[0] ?? -1;
  };

  const byPlace = (leaf: number, stem: readonly number[], tip: Role): LimbJoints | null => {
    const path = pathTo(leaf);
    const own = path.slice(path.findIndex((i) => !stem.includes(i)));
    // Joints that sit on each other are one joint: the last of them carries the bone below.
    const knots = own.filter((i, k) => k === own.length - 1 || away(rest, own[k + 1] as number, i));
    const bones = knots.slice(1).map((i, k) => distance(at(rest, i), at(rest, knots[k] as number)));
    const pair = (k: number): number => Math.min(bones[k] ?? 0, bones[k + 1] ?? 0);
    const longest = Math.max(...bones.map((_, k) => pair(k)), 0);
    if (longest <= 0) return null;
    const k = bones.map((_, i) => pair(i)).findLastIndex((length) => length >= 0.6 * longest);
    const [upper, middle, end] = knots.slice(k, k + 3) as [number, number, number];
    // The first of them at the end: an ankle or wrist, where the others are what it carries.
    const lower = own.find((i) => !away(rest, i, end)) ?? end;
    for (const i of [upper, middle, lower]) found.set(i, 'place');
    return { upper, middle, lower, tip: tipOf(lower, tip) };
  };

  const HIP = [['hip'], ['knee'], ['ankle']] as const;
  let legL = byName('L', HIP, 'toe');
  let legR = byName('R', HIP, 'toe');
  if (!legL || !legR) {
    const lowest = (sign: 1 | -1): number =>
      leaves
        .filter((i) => at(rest, i)[0] * sign > at(rest, 0)[0] * sign)
        .reduce((a, b) => (a < 0 || at(rest, b)[1] < at(rest, a)[1] ? b : a), -1);
    const [left, right] = [lowest(1), lowest(-1)];
    if (left < 0 || right < 0) return null;
    const stem = pathTo(left).filter((i) => pathTo(right).includes(i));
    legL = byPlace(left, stem, 'toe');
    legR = byPlace(right, stem, 'toe');
  }
  if (!legL || !legR) return null;
  const [pathL, pathR] = [pathTo(legL.upper), pathTo(legR.upper)];
  const pelvis = pathL.findLast((i) => pathR.includes(i)) ?? 0;

  const legJoints = new Set(
    joints
      .map((_, i) => i)
      .filter((i) => pathTo(i).some((j) => j === legL.upper || j === legR.upper)),
  );
  const upperLeaves = leaves.filter((i) => !legJoints.has(i));
  const ARM = [['shoulder', 'shoulderOrCollar'], ['elbow'], ['wrist']] as const;
  let armL = byName('L', ARM, 'finger');
  let armR = byName('R', ARM, 'finger');
  if ((!armL || !armR) && upperLeaves.length >= 3) {
    const side = Math.sign(at(rest, legL.upper)[0] - at(rest, legR.upper)[0]) || 1;
    const out = (sign: number): number =>
      upperLeaves.reduce((a, b) => (at(rest, b)[0] * sign > at(rest, a)[0] * sign ? b : a));
    const [left, right] = [out(side), out(-side)];
    const stem = pathTo(left).filter((i) => pathTo(right).includes(i));
    armL ??= byPlace(left, stem, 'finger');
    armR ??= byPlace(right, stem, 'finger');
  }
  const none: LimbJoints = { upper: -1, middle: -1, lower: -1, tip: -1 };
  const arms = { L: armL ?? none, R: armR ?? none };

  const armJoint = (i: number): boolean =>
    pathTo(i).some((j) => j === arms.L.upper || j === arms.R.upper);
  const headNamed = named.findIndex(({ role }) => role === 'head');
  const highest = upperLeaves
    .filter((i) => !armJoint(i))
    .reduce((a, b) => (a < 0 || at(rest, b)[1] > at(rest, a)[1] ? b : a), -1);
  const head = headNamed >= 0 ? headNamed : highest;
  if (head >= 0) found.set(head, headNamed >= 0 ? 'name' : 'place');
  const spine = head >= 0 ? pathTo(head) : [];
  const chest =
    armL && armR
      ? (pathTo(armL.upper).findLast((i) => pathTo(armR.upper).includes(i)) ?? pelvis)
      : (spine.findLast((i) => i !== head && named[i]?.role !== 'neck') ?? pelvis);

  const segments: MappedSegment[] = [];
  const put = (segment: SegmentName, joint: number, how?: 'name' | 'place'): void => {
    if (joint < 0) return;
    const { name } = joints[joint] as ClipJoint;
    segments.push({ segment, joint: name, how: how ?? found.get(joint) ?? 'place' });
  };
  put('pelvis', pelvis, 'place');
  put('chest', chest, 'place');
  put('head', head);
  for (const side of ['L', 'R'] as const) {
    const arm = arms[side];
    const leg = side === 'L' ? legL : legR;
    put(`upperArm${side}`, arm.upper);
    put(`forearm${side}`, arm.middle);
    put(`hand${side}`, arm.lower);
    put(`thigh${side}`, leg.upper);
    put(`shank${side}`, leg.middle);
    put(`foot${side}`, leg.lower);
    put(`toes${side}`, leg.tip, named[leg.tip]?.role === 'toe' ? 'name' : 'place');
  }
  const used = new Set(segments.map(({ joint }) => joint));
  return {
    pelvis,
    chest,
    head,
    legs: { L: legL, R: legR },
    arms,
    segments,
    unused: joints.map(({ name }) => name).filter((name) => !used.has(name)),
  };
}

const at = (places: readonly Vec3[], i: number): Vec3 => places[i] ?? [0, 0, 0];

/** Whether two joints are apart in the zero pose (more than rounding). */
const away = (places: readonly Vec3[], a: number, b: number): boolean =>
  distance(at(places, a), at(places, b)) > 1e-4;

/** Middle of two joints. */
export const middleOf = (a: Vec3, b: Vec3): Vec3 => scale(subtract(a, scale(b, -1)), 0.5);
