import type { Body } from '../body/index.ts';
import { findContacts } from '../contact/index.ts';
import { lerp, type Quat, slerp, type Vec3 } from '../geometry/index.ts';
import { blendPoses, type PlaceGoal, type Pose, poseFigure, solveReach } from '../pose/index.ts';
import { bodyOf, type Figure, type Surface } from '../scene/index.ts';

/** How a figure goes from one key to the next. */
export const EASES = ['stepped', 'linear', 'eased'] as const;
export type Ease = (typeof EASES)[number];

/** A pose that a person set at a frame. */
export interface KeyPose {
  /** Counted from 0, whole. */
  readonly frame: number;
  readonly pose: Pose;
  readonly contacts: Figure['contacts'];
  /** On the way from here to the next key. */
  readonly ease: Ease;
}

/** Parts that keep their place between keys at both of which they carry, and their patches. */
const ENDS = [
  { segment: 'footL', patches: ['soleL', 'toesL'] },
  { segment: 'footR', patches: ['soleR', 'toesR'] },
  { segment: 'handL', patches: ['palmL'] },
  { segment: 'handR', patches: ['palmR'] },
] as const;
type End = (typeof ENDS)[number]['segment'];

/** A foot that is farther than this from where it shall be is brought there with the hips, metres. */
const OFF = 1e-3;

/** Share of the way that is done at a share of the time: 0 until the next key, even, or slow out and in. */
export function eased(ease: Ease, share: number): number {
  if (ease === 'stepped') return share < 1 ? 0 : 1;
  // The cubic that starts and ends without speed.
  return ease === 'linear' ? share : share * share * (3 - 2 * share);
}

/**
 * A figure as its keys move it: its pose and contact settings at any frame. Before the first key it stands as
 * there, after the last as there. Between two keys hips and joints go the shortest way; a foot or hand
 * that carries at both keys stays on the floor in between, at its place or on the straight way from one
 * place to the other, by the same reach solver that poses by hand (leg or arm alone, and the hips where
 * they are too short).
 * @param keys sorted by frame, at least one
 */
export function keyedFigure(
  figure: Figure,
  keys: readonly KeyPose[],
  surfaces: readonly Surface[],
): (frame: number) => Figure {
  const body = bodyOf(figure.body);
  // A clip asks for every frame between the same two keys: what carries at a key is found once.
  const found = new Map<KeyPose, Ends>();
  const endsAt = (key: KeyPose): Ends => {
    const known = found.get(key);
    if (known !== undefined) return known;
    const ends = carryingEnds(figure, body, key, surfaces);
    found.set(key, ends);
    return ends;
  };
  return (frame) => atFrame(figure, body, keys, endsAt, frame);
}

function atFrame(
  figure: Figure,
  body: Body,
  keys: readonly KeyPose[],
  endsAt: (key: KeyPose) => Ends,
  frame: number,
): Figure {
  const at = keys.findLastIndex((key) => key.frame <= frame);
  const from = keys[Math.max(0, at)];
  const to = keys[at + 1];
  if (from === undefined) return figure;
  const settled: Figure = { ...figure, pose: from.pose, contacts: from.contacts };
  if (at < 0 || to === undefined || frame === from.frame) return settled;
  const share = eased(from.ease, (frame - from.frame) / (to.frame - from.frame));
  if (share === 0) return settled;
  const pose = blendPoses(from.pose, to.pose, share);
  const goals = goalsBetween(endsAt(from), endsAt(to), share);
  return { ...settled, pose: goals.length === 0 ? pose : kept(body, pose, goals) };
}

interface Placed {
  readonly position: Vec3;
  readonly rotation: Quat;
}

/** Feet and hands that carry at a key, and where they are. */
type Ends = ReadonlyMap<End, Placed>;

/** Where feet and hands that carry at both keys have to be on the way. */
function goalsBetween(before: Ends, after: Ends, share: number): PlaceGoal[] {
  return [...before].flatMap(([segment, start]): PlaceGoal[] => {
    const end = after.get(segment);
    if (end === undefined) return [];
    return [
      {
        segment,
        target: lerp(start.position, end.position, share),
        rotation: slerp(start.rotation, end.rotation, share),
      },
    ];
  });
}

function carryingEnds(
  figure: Figure,
  body: Body,
  pose: KeyPose,
  surfaces: readonly Surface[],
): Ends {
  const posed = poseFigure(body, pose.pose);
  const standing: Figure = { ...figure, pose: pose.pose, contacts: pose.contacts };
  const scene = { figures: [standing], loads: [], surfaces, grips: [] };
  const contacts = findContacts(scene, new Map([[figure.id, posed]]), new Map());
  const touching = new Set(contacts.map(({ patch }) => patch));
  return new Map(
    ENDS.filter(({ patches }) => patches.some((patch) => touching.has(patch))).map(
      ({ segment }) => [segment, posed.segments[segment]] as const,
    ),
  );
}

function kept(body: Body, pose: Pose, goals: readonly PlaceGoal[]): Pose {
  const still = solveReach(body, pose, {
    goals,
    planted: [],
    locks: ['hips-place', 'hips-turn', 'abdomen', 'chest', 'head'],
  });
  if (still.residual_m <= OFF) return still.pose;
  // A leg too short, or an ankle at its end: the hips go off their way, but no further than they must.
  const stood = solveReach(body, pose, { goals, planted: [] });
  if (stood.residual_m > OFF) return stood.pose;
  const hips = { segment: 'pelvis', target: pose.position, rotation: pose.rotation } as const;
  const planted = goals.map(({ segment }) => ({ segment, turn: true }));
  return solveReach(body, stood.pose, { goals: [hips], planted }).pose;
}
