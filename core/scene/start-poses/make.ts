import type { Body, SegmentName } from '../../body/types.ts';
import { fromAxisAngle, multiply, normaliseQuat, rotate } from '../../geometry/quat.ts';
import type { Quat, Vec2, Vec3 } from '../../geometry/types.ts';
import { add, cross, scale, subtract } from '../../geometry/vec3.ts';
import {
  type Lock,
  type PlaceGoal,
  type Pose,
  type PoseAngles,
  palmLocal,
  poseFromAngles,
  solveReach,
} from '../../pose/index.ts';
import { loadMasses } from '../load-masses.ts';
import type { MadePose, NeededLoad, NeededSurface } from './types.ts';

export type Side = 'L' | 'R';
const DEGREE = Math.PI / 180;
const UP: Vec3 = [0, 1, 0];

/** Where a foot is put: its ankle in plan, as shares of stature, and how it stands there. */
export interface FootPlace {
  readonly x: number;
  readonly z: number;
  /** Toes turned out, degrees. */
  readonly out?: number;
  /** Height of what it stands on, metres. */
  readonly lift?: number;
  /** Heel up over the ball, degrees; toes stay flat. Below 0: toes up over the heel. */
  readonly heel?: number;
}

export const foot = (x: number, z = 0, more: Partial<FootPlace> = {}): FootPlace => ({
  ...{ x, z },
  ...more,
});

/** Where a quiet plumb line lands along the foot. */
export const QUIET = 0.42;

/** Where a palm is put, as shares of stature, and which way it faces with its fingers. */
export interface PalmPlace {
  readonly at: Vec3;
  readonly faces?: Vec3;
  readonly fingers?: Vec3;
}

/** A pose as it is made: rough angles, then what has to be where it is wanted. */
export interface Recipe {
  readonly angles: PoseAngles;
  readonly feet?: Readonly<Partial<Record<Side, FootPlace>>>;
  readonly palms?: Readonly<Partial<Record<Side, PalmPlace>>>;
  /** Points of other segments and their places, metres. */
  readonly points?: readonly PlaceGoal[];
  /** Where the plumb line goes: share of each foot's weight, and how far along the feet (0 heel, 1 toes). */
  readonly over?: { readonly left: number; readonly along: number } | Vec2;
  readonly loads?: readonly NeededLoad[];
  readonly surfaces?: readonly NeededSurface[];
  readonly contacts?: MadePose['contacts'];
  readonly locks?: readonly Lock[];
}

/** The rough pose of a recipe with everything brought to where it is wanted, by the reach solver. */
export function made(body: Body, recipe: Recipe): MadePose {
  const { stature } = body.spec;
  const { feet = {}, palms = {}, loads = [] } = recipe;
  const goals: PlaceGoal[] = [...(recipe.points ?? [])];
  let rough: Pose = poseFromAngles(withToes(recipe.angles, feet), body);
  for (const side of ['L', 'R'] as const) {
    const foot = feet[side];
    if (foot) goals.push(footGoal(body, side, foot));
    const palm = palms[side];
    if (palm) goals.push(palmGoal(body, side, palm, stature));
  }
  // Rough legs may be far from the feet's places: begin with the hips over them.
  const places = goals.filter(({ segment }) => segment.startsWith('foot'));
  if (places.length === 2) {
    const middle = scale(add(places[0]!.target, places[1]!.target), 0.5);
    const [x, y, z] = rough.position;
    rough = { ...rough, position: [x + middle[0], y, z + middle[2]] };
  }
  const target = recipe.over && overPoint(body, feet, recipe.over);
  const centre = target && {
    centre: { target, keep: true, loads: loads.flatMap((load) => loadMasses(body, load)) },
  };
  const locks = recipe.locks ?? [];
  const result = solveReach(body, rough, { goals, planted: [], locks, ...centre });
  const again = solveReach(body, result.pose, { goals, planted: [], locks, ...centre });
  return {
    pose: again.pose,
    surfaces: recipe.surfaces ?? [],
    loads,
    contacts: recipe.contacts ?? {},
  };
}

function withToes(angles: PoseAngles, feet: NonNullable<Recipe['feet']>): PoseAngles {
  const toes = (side: Side): number => Math.max(0, feet[side]?.heel ?? 0);
  return { ...angles, toesL: { flexion: toes('L') }, toesR: { flexion: toes('R') } };
}

/** Turn of a foot in the world: turned out, then tipped over its ball or heel. */
function footTurn(side: Side, { out = 0, heel = 0 }: FootPlace): Quat {
  const way = side === 'L' ? 1 : -1;
  return multiply(fromAxisAngle(UP, out * way * DEGREE), fromAxisAngle([1, 0, 0], heel * DEGREE));
}

export const soleDrop = (body: Body): number => -(body.patches.soleL.outline[0]?.[1] ?? 0);

/** The middle of a foot's back edge and how long it is, in the foot's frame. */
const heelOf = (body: Body): number =>
  Math.min(...body.patches.soleL.outline.map((corner) => corner[2]));

function footGoal(body: Body, side: Side, place: FootPlace): PlaceGoal {
  const { stature } = body.spec;
  const flat = footTurn(side, { ...place, heel: 0 });
  const rotation = footTurn(side, place);
  const ankle: Vec3 = [place.x * stature, (place.lift ?? 0) + soleDrop(body), place.z * stature];
  const heel = place.heel ?? 0;
  const local: Vec3 =
    heel > 0 ? body.segments[`toes${side}`].offset : [0, -soleDrop(body), heelOf(body)];
  const pivot = add(ankle, rotate(flat, local));
  const target = heel === 0 ? ankle : subtract(pivot, rotate(rotation, local));
  return { segment: `foot${side}`, target, rotation, weight: 3 };
}

function palmGoal(body: Body, side: Side, place: PalmPlace, stature: number): PlaceGoal {
  const { at, faces, fingers } = place;
  const goal = { segment: `hand${side}` as SegmentName, point: palmLocal(body, side) };
  const target = scale(at, stature);
  if (!faces || !fingers) return { ...goal, target };
  // At rest the fingers hang down (-y) and the palm faces the thigh (-x on the left side).
  const x = scale(faces, side === 'L' ? -1 : 1);
  const y = scale(fingers, -1);
  return { ...goal, target, rotation: turnOfAxes(x, y, cross(x, y)) };
}

/** The turn that takes the axes to these unit vectors (Shepperd 1978, by the largest part). */
function turnOfAxes(x: Vec3, y: Vec3, z: Vec3): Quat {
  const parts: readonly [number, Quat][] = [
    [x[0] + y[1] + z[2], [y[2] - z[1], z[0] - x[2], x[1] - y[0], 1 + x[0] + y[1] + z[2]]],
    [x[0] - y[1] - z[2], [1 + x[0] - y[1] - z[2], x[1] + y[0], z[0] + x[2], y[2] - z[1]]],
    [y[1] - x[0] - z[2], [x[1] + y[0], 1 + y[1] - x[0] - z[2], y[2] + z[1], z[0] - x[2]]],
    [z[2] - x[0] - y[1], [z[0] + x[2], y[2] + z[1], 1 + z[2] - x[0] - y[1], x[1] - y[0]]],
  ];
  return normaliseQuat(parts.reduce((a, b) => (b[0] > a[0] ? b : a))[1]);
}

/** The plan point under which the plumb line goes. */
function overPoint(
  body: Body,
  feet: NonNullable<Recipe['feet']>,
  over: NonNullable<Recipe['over']>,
): Vec2 {
  if (!('left' in over)) return [over[0] * body.spec.stature, over[1] * body.spec.stature];
  const point = (side: Side): Vec3 => {
    const place = feet[side] ?? feet[side === 'L' ? 'R' : 'L'];
    if (place === undefined) return [0, 0, 0];
    const along = heelOf(body) + over.along * body.footLength;
    const way = rotate(footTurn(side, { ...place, heel: 0 }), [0, 0, along]);
    return add([place.x * body.spec.stature, 0, place.z * body.spec.stature], way);
  };
  const middle = add(scale(point('L'), over.left), scale(point('R'), 1 - over.left));
  return [middle[0], middle[2]];
}
