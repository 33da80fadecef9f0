import type { Body, JointLimits, SegmentName } from '../../body/index.ts';
import {
  add,
  conjugate,
  distance,
  multiply,
  type Quat,
  rotate,
  subtract,
  type Vec2,
  type Vec3,
} from '../../geometry/index.ts';
import {
  type CentreGoal,
  clampJoint,
  type Lock,
  type PlaceGoal,
  type Planted,
  type Pose,
  type PosedFigure,
  poseFigure,
  setJoint,
  solveReach,
  swingTwist,
} from '../../pose/index.ts';
import { type Load, loadTransforms, type Scene } from '../../scene/index.ts';
import { type Situation, situationOf, wayOfHold, withPose } from '../ways-back/situation.ts';
import type { Changes } from '../ways-back/types.ts';
import { type Followers, follow, followersOf, holdingHands } from './followers.ts';
import { handleAt, handlePoint, stayingWith } from './handles.ts';
import type { Grab, Handle, Reached, Reaching, ReachSettings } from './types.ts';

/** Nearer than this a thing counts as where it is wanted, metres. */
const THERE = 5e-4;
const CENTRED = 1e-3;
const KEPT = 5e-3;

/**
 * Takes hold of something in a scene. While it is moved, everything that rests on something keeps its
 * place (soles with their turn) but the limb that is dragged; joints keep their ranges, locked ones their
 * turn. A second hand on the same load follows, what hangs on the figure is carried along, and partners
 * whose grip is dragged reach after it. Out of reach it stretches to the limit: `reached` is false.
 * A target where the thing is already changes nothing. Null where the scene has no such thing.
 */
export function takeHold(scene: Scene, grab: Grab, settings: ReachSettings = {}): Reaching | null {
  if (grab.kind === 'load') {
    const load = scene.loads.find(({ id }) => id === grab.load);
    if (load === undefined) return null;
    if (load.place.kind !== 'held') return takeLoose(scene, load);
    const { figure } = load.place;
    return isIn(scene, figure) ? takeHeld(scene, figure, load, settings) : null;
  }
  if (!isIn(scene, grab.figure)) return null;
  return grab.kind === 'centre'
    ? takeCentre(scene, grab.figure, settings)
    : takePart(scene, grab.figure, grab.part, settings);
}

const isIn = (scene: Scene, figure: string): boolean =>
  scene.figures.some(({ id }) => id === figure);

/** A part; a hand takes the other one along when both hold one load. */
function takePart(
  scene: Scene,
  figure: string,
  part: Handle,
  settings: ReachSettings,
): Reaching | null {
  const situation = situationOf(scene, figure);
  const shared = scene.loads.find(
    (load) => load.place.kind === 'held' && load.place.figure === figure && holdsWith(load, part),
  );
  const parts = shared ? holdingHands(shared) : [part];
  const held = part.startsWith('forearm') ? handsOnLoads(scene, situation) : [];
  const drag = newDrag(scene, situation, parts, settings, held);
  const at = handleAt(situation.posed, part);
  return {
    at,
    planted: drag.planted,
    to: (target) => {
      const way = subtract(target, at);
      const pose = drag.solve(way);
      const off = distance(handleAt(pose.posed, part), target);
      return drag.told(pose, off);
    },
  };
}

const holdsWith = (load: Load, part: Handle): boolean => {
  const hands: readonly Handle[] = holdingHands(load);
  return hands.length === 2 && hands.includes(part);
};

/** Hands that hold loads keep their places while an elbow is moved. */
const handsOnLoads = (scene: Scene, { figure, body }: Situation): readonly Planted[] =>
  scene.loads
    .filter(({ place }) => place.kind === 'held' && place.figure === figure.id)
    .flatMap((load) =>
      holdingHands(load).map((segment) => ({
        ...{ segment, point: handlePoint(body, segment), turn: false },
      })),
    );

/** Tries until a load that is held off the palms is where it is wanted: it turns with the chest. */
const ROUNDS = 3;

function takeHeld(
  scene: Scene,
  figure: string,
  load: Load,
  settings: ReachSettings,
): Reaching | null {
  const situation = situationOf(scene, figure);
  const drag = newDrag(scene, situation, holdingHands(load), settings, []);
  const placeIn = (posed: PosedFigure): Vec3 =>
    loadTransforms({ ...scene, loads: [load] }, new Map([[figure, posed]])).get(load.id)!.position;
  const at = placeIn(situation.posed);
  return {
    at,
    planted: drag.planted,
    to: (target) => {
      let way = subtract(target, at);
      let pose = drag.solve(way);
      let off = distance(placeIn(pose.posed), target);
      for (let round = 1; round < ROUNDS && off > THERE && pose.residual <= THERE; round++) {
        way = add(way, subtract(target, placeIn(pose.posed)));
        pose = drag.solve(way);
        off = distance(placeIn(pose.posed), target);
      }
      return drag.told(pose, off);
    },
  };
}

/** A load that stands by itself, or is fixed to a segment: it is put elsewhere, nobody moves. */
function takeLoose(scene: Scene, load: Load): Reaching | null {
  const { place } = load;
  if (place.kind === 'held') return null;
  const put = (moved: Load['place']): Reached => ({
    changes: { poses: {}, loads: { [load.id]: moved } },
    reached: true,
    off: 0,
  });
  if (place.kind === 'standing') {
    const to = (position: Vec3): Reached => put({ ...place, position });
    return { at: place.position, planted: [], to };
  }
  if (!isIn(scene, place.figure)) return null;
  const { posed } = situationOf(scene, place.figure);
  const segment = posed.segments[place.segment];
  const at = add(segment.position, rotate(segment.rotation, place.offset));
  const to = (target: Vec3): Reached => {
    const step = rotate(conjugate(segment.rotation), subtract(target, at));
    return put({ ...place, offset: add(place.offset, step) });
  };
  return { at, planted: [], to };
}

/** The centre of a figure with what it carries: hips and trunk shift with everything planted. */
function takeCentre(scene: Scene, figure: string, settings: ReachSettings): Reaching | null {
  const situation = situationOf(scene, figure);
  const { body, planted, loads, movingCentre, report } = situation;
  const height = report.figures.find((one) => one.figure === figure)?.centre?.[1] ?? 0;
  const locks = settings.locks?.[figure] ?? [];
  let from: Pose | undefined;
  return {
    at: [movingCentre[0], height, movingCentre[1]],
    planted,
    to: ([x, , z]) => {
      const result = solveReach(body, situation.figure.pose, {
        ...{ goals: [], planted, locks, centre: { target: [x, z], loads, keep: false } },
        ...(from ? { from } : {}),
      });
      from = result.pose;
      const off = result.centre_m;
      return { changes: withPose(situation, result.pose), reached: off <= CENTRED, off };
    },
  };
}

/** A pose that a drag has come to. */
interface Solved {
  readonly pose: Pose;
  readonly posed: PosedFigure;
  readonly residual: number;
  readonly centre: number;
}

interface PartsDrag {
  readonly planted: readonly Planted[];
  /** The dragged parts moved by a way from where they began. */
  solve(way: Vec3): Solved;
  told(solved: Solved, off: number): Reached;
}

function newDrag(
  scene: Scene,
  situation: Situation,
  parts: readonly Handle[],
  settings: ReachSettings,
  held: readonly Planted[],
): PartsDrag {
  const { body, figure, posed, loads, movingCentre } = situation;
  const planted = [...stayingWith(situation.planted, parts), ...held];
  const own = settings.locks?.[figure.id] ?? [];
  // A foot in the air is turned after the reach: its turn does not move the ankle.
  const feet = parts.filter(
    (part): part is 'footL' | 'footR' => part.startsWith('foot') && !own.includes(part),
  );
  const locks: readonly Lock[] = [...own, ...feet];
  const centre = centreGoal(settings.keep, movingCentre, loads);
  const followers: Followers = followersOf(scene, situation, parts);
  const first = parts[0]!;
  const begin = handleAt(posed, first);
  let from: Pose | undefined;
  return {
    planted,
    solve: (way) => {
      const goals = parts.map(
        (part): PlaceGoal => ({
          ...{ segment: part, point: handlePoint(body, part) },
          target: add(handleAt(posed, part), way),
        }),
      );
      const result = solveReach(body, figure.pose, {
        ...{ goals, planted, locks },
        ...(centre ? { centre } : {}),
        ...(from ? { from } : {}),
      });
      from = result.pose;
      const pose =
        result.pose === figure.pose
          ? result.pose
          : feet.reduce((one, foot) => levelled(body, one, posed, foot), result.pose);
      const { residual_m: residual, centre_m } = result;
      return { pose, posed: poseFigure(body, pose), residual, centre: centre_m };
    },
    told: ({ pose, posed: after, centre: shifted }, off) => {
      const changes = withPose(situation, pose, after);
      const wayOf = (segment: SegmentName): Vec3 => wayOfHold(situation, segment, after);
      const along = follow(followers, subtract(handleAt(after, first), begin), wayOf, settings);
      return {
        changes: merged(changes, along.changes),
        reached: off <= THERE && shifted <= KEPT && along.reached,
        off,
      };
    },
  };
}

function centreGoal(
  keep: ReachSettings['keep'],
  here: Vec2,
  loads: CentreGoal['loads'],
): CentreGoal | null {
  if (keep === undefined) return null;
  return { target: keep === 'here' ? here : keep, loads: loads ?? [], keep: true };
}

/** The pose with a foot turned in the world as before, as far as the ankle allows. */
function levelled(body: Body, pose: Pose, before: PosedFigure, foot: 'footL' | 'footR'): Pose {
  const ankle = (posed: PosedFigure): Quat =>
    multiply(
      conjugate(posed.segments[body.segments[foot].parent!].rotation),
      before.segments[foot].rotation,
    );
  const limits = rangeWith(body.segments[foot].limits, ankle(before));
  return setJoint(pose, foot, clampJoint(limits, ankle(poseFigure(body, pose))));
}

/** An ankle's range, as far as it has to be for where the drag begins: out of it a foot may stay. */
function rangeWith(limits: JointLimits, begin: Quat): JointLimits {
  const at = swingTwist(begin);
  const reaching = ([low, high]: readonly [number, number], now: number) =>
    [Math.min(low, now), Math.max(high, now)] as const;
  return {
    ...limits,
    x: reaching(limits.x, at.x),
    y: reaching(limits.y, at.y),
    z: reaching(limits.z, at.z),
  };
}

const merged = (a: Changes, b: Changes): Changes => ({
  poses: { ...a.poses, ...b.poses },
  loads: { ...a.loads, ...b.loads },
});
