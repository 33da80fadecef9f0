import { type Body, SEGMENTS, type SegmentName } from '../../body/index.ts';
import { conjugate, multiply, type Vec2 } from '../../geometry/index.ts';
import {
  type CentreLoad,
  clampJoint,
  type Lock,
  type Pose,
  type PosedFigure,
  poseFigure,
  setJoint,
  solveReach,
} from '../../pose/index.ts';
import type { GroupReading } from '../types.ts';
import { inTheWay } from './obstacles.ts';
import { groupAfter, movingCentreOf, type Side, type Situation, withPose } from './situation.ts';
import { aimAt, carryingOutline } from './target.ts';
import type { Changes } from './types.ts';
import { reasonLength } from './words.ts';

/** What may change in a way; all other joints are locked. */
export interface Freedom {
  readonly joints: readonly SegmentName[];
  readonly hipsPlace: boolean;
  readonly hipsTurn: boolean;
  /** Arms that keep their direction in the world: they hang from the shoulder, however that turns. */
  readonly hang?: readonly Side[];
}

/** A pose with which the group holds, or why there is none with this freedom. */
export type Found =
  | { readonly pose: Pose; readonly changes: Changes; readonly after: GroupReading }
  | { readonly cannot: string };

/** The supports move a little with the pose (an edge that friction draws): aim again this often. */
const ROUNDS = 5;
/** The line counts as brought to its place within this, metres. */
const THERE = 2e-3;
/** So much of the inset may be missing. */
const SHORT = 1.5e-3;

/**
 * The smallest change of the freed joints that brings the plumb line inside: the reach solver with the
 * centre as its one goal (minimise the joints' turns, by stiffness, under planted contacts and limits;
 * mechanics.md 1.11), aimed again where the support has changed with the pose.
 * @param what is moved, for the reason: "the hips"
 * @param begin where the search begins, if not at the pose itself: of several poses that do, it finds one near
 */
export function bringCentre(
  situation: Situation,
  free: Freedom,
  inset: number,
  what: string,
  begin?: Pose,
): Found {
  const { body, figure, group, moving, planted, posed, scene } = situation;
  const { plumb, mass, support } = group;
  if (plumb === null || mass === null) return { cannot: 'its weight is not known' };
  const locks = locksBut(free);
  const hang = free.hang ?? [];
  const loads = [...situation.loads, ...hang.flatMap((side) => atShoulder(body, side))];
  const start = movingCentreOf(posed, loads, moving);
  const found = (pose: Pose): Found & { readonly after: GroupReading } => {
    const changes = withPose(situation, pose);
    return { pose, changes, after: groupAfter(situation, changes) };
  };
  let outline = carryingOutline(support);
  // What the line was off after the last round: arms at the end of their range, a partner that turns.
  let off: Vec2 = [0, 0];
  let from = begin;
  let last: (Found & { readonly after: GroupReading }) | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    const aim = aimAt(plumb, outline, inset);
    if (aim === null) return { cannot: 'nothing holds on a support without area' };
    const way: Vec2 = [aim.point[0] - plumb[0], aim.point[1] - plumb[1]];
    const target: Vec2 = [
      start[0] + ((way[0] + off[0]) * mass) / moving,
      start[1] + ((way[1] + off[1]) * mass) / moving,
    ];
    const result = solveReach(body, figure.pose, {
      ...{ goals: [], planted, locks, utmost: true },
      centre: { target, loads, keep: true },
      ...(from === undefined ? {} : { from }),
    });
    const left = (result.centre_m * moving) / mass;
    const wanted = Math.hypot(way[0] + off[0], way[1] + off[1]);
    if (left > THERE) return { cannot: tooShort(what, wanted - left, wanted) };
    const pose = hang.reduce((one, side) => hung(body, one, posed, side), result.pose);
    const blocked = inTheWay(scene.surfaces, posed, poseFigure(body, pose));
    if (blocked) return { cannot: `the ${blocked.name.toLowerCase()} is in the way of ${what}` };
    last = found(pose);
    const { verdict, margin, plumb: line } = last.after;
    const room = margin?.functional ?? Number.NEGATIVE_INFINITY;
    if (verdict === 'holds' && room >= aim.inset - SHORT) return last;
    outline = carryingOutline(last.after.support);
    if (line !== null) off = [off[0] + aim.point[0] - line[0], off[1] + aim.point[1] - line[1]];
    from = result.pose;
  }
  if (last?.after.verdict === 'holds') return last;
  return { cannot: `with ${what} moved it still ${last?.after.verdict}` };
}

/** An arm's mass moved to its shoulder: what it weighs on the trunk when it keeps its direction. */
function atShoulder(body: Body, side: Side): readonly CentreLoad[] {
  const arm = [`upperArm${side}`, `forearm${side}`, `hand${side}`] as const;
  const mass = arm.reduce((sum, name) => sum + body.segments[name].mass, 0);
  return [
    { segment: 'chest', offset: body.segments[`upperArm${side}`].offset, mass },
    ...arm.map((segment): CentreLoad => {
      const { centre, mass: own } = body.segments[segment];
      return { segment, offset: centre, mass: -own };
    }),
  ];
}

/** The pose with an upper arm turned in the world as it was, as far as the shoulder allows. */
function hung(body: Body, pose: Pose, before: PosedFigure, side: Side): Pose {
  const upper = `upperArm${side}` as const;
  const chest = poseFigure(body, pose).segments.chest.rotation;
  const turn = multiply(conjugate(chest), before.segments[upper].rotation);
  return setJoint(pose, upper, clampJoint(body.segments[upper].limits, turn));
}

export const tooShort = (what: string, gained: number, wanted: number): string =>
  gained < 1e-3
    ? `${what} cannot move the line that way`
    : `${what} can bring the line ${reasonLength(gained)} of the ${reasonLength(wanted)} cm that it has to go`;

function locksBut({ joints, hipsPlace, hipsTurn }: Freedom): readonly Lock[] {
  const free = new Set(joints);
  return [
    ...SEGMENTS.filter((name) => name !== 'pelvis' && !free.has(name)),
    ...(hipsPlace ? [] : (['hips-place'] as const)),
    ...(hipsTurn ? [] : (['hips-turn'] as const)),
  ];
}
