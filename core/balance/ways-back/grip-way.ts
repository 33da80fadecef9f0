import { type Body, SEGMENTS, type SegmentName } from '../../body/index.ts';
import { add, subtract, type Vec2, type Vec3 } from '../../geometry/index.ts';
import { type Lock, type Pose, pointOn, poseFigure, solveReach } from '../../pose/index.ts';
import type { GroupReading } from '../types.ts';
import { bringCentre, tooShort } from './centre-way.ts';
import { onFeet } from './joint-ways.ts';
import { poseMoves } from './moves.ts';
import { groupAfter, holdPoint, type Partner, SIDES, type Situation, stands } from './situation.ts';
import { aimAt, carryingOutline } from './target.ts';
import type { Changes, Move, Way } from './types.ts';
import { capital, centimetres, outcome } from './words.ts';

const strategy = 'grip-tighter';

/**
 * Figure and partner come closer. A partner who hangs on the figure is drawn in by the arms; towards one
 * who stands the figure draws itself, its arms bending and its hands staying where they hold.
 */
export function gripWay(situation: Situation, inset: number): Way {
  const [partner] = [...situation.hanging, ...situation.standing];
  if (partner === undefined) return { strategy, cannot: 'Nobody is held.' };
  const { plumb, mass, support } = situation.group;
  if (plumb === null || mass === null) return { strategy, cannot: 'Its weight is not known.' };
  return situation.hanging.includes(partner)
    ? drawIn(situation, partner, inset, plumb, mass, carryingOutline(support))
    : drawNear(situation, partner, inset);
}

const ROUNDS = 6;
const THERE = 1.5e-3;

function drawIn(
  situation: Situation,
  partner: Partner,
  inset: number,
  plumb: Vec2,
  mass: number,
  outline: readonly Vec2[],
): Way {
  const aim = aimAt(plumb, outline, inset);
  if (aim === null) return { strategy, cannot: 'Nothing holds on a support without area.' };
  const wanted = Math.hypot(aim.point[0] - plumb[0], aim.point[1] - plumb[1]);
  const way: Vec2 = [(aim.point[0] - plumb[0]) / wanted, (aim.point[1] - plumb[1]) / wanted];
  const { name } = partner.figure;
  if (towards(situation.posed.centre, partner.posed.centre, way) <= 0)
    return { strategy, cannot: `${name} would have to go farther away.` };
  const room = roomBetween(situation, partner, way);
  let by = Math.min((wanted * mass) / partner.mass, room);
  let gained = 0;
  for (let round = 0; round < ROUNDS; round++) {
    if (by <= 0) break;
    const drawn = draw(situation, partner, way, by);
    if (drawn === null)
      return { strategy, cannot: `The arms cannot draw ${name} ${centimetres(by)} closer.` };
    const line = drawn.after.plumb ?? plumb;
    gained = (line[0] - plumb[0]) * way[0] + (line[1] - plumb[1]) * way[1];
    if (drawn.after.verdict === 'holds' && gained >= wanted - THERE)
      return told(situation, partner, by, drawn);
    if (by >= room || gained <= 0) break;
    by = Math.min(room, (by * (wanted + THERE / 4)) / gained);
  }
  const reason = tooShort(`${name}, ${centimetres(by)} closer,`, gained, wanted);
  return { strategy, cannot: `${reason}.` };
}

/** How much nearer a partner comes to a centre along a plan way. */
const towards = (to: Vec3, from: Vec3, [x, z]: Vec2): number =>
  (to[0] - from[0]) * x + (to[2] - from[2]) * z;

/** How far a partner may come along a plan way before one chest meets the other, metres. */
function roomBetween({ posed, body }: Situation, partner: Partner, way: Vec2): number {
  const depth = (of: Body): number => Math.abs(of.patches.back.outline[0]![2]);
  const gap = towards(posed.segments.chest.position, partner.posed.segments.chest.position, way);
  return Math.max(0, gap - depth(body) - depth(partner.posed.body));
}

interface Drawn {
  readonly pose: Pose;
  readonly changes: Changes;
  readonly after: GroupReading;
}

/** The partner moved along `way`, the hands that hold it with it, nothing else. */
function draw(situation: Situation, partner: Partner, [x, z]: Vec2, by: number): Drawn | null {
  const { body, figure, posed, planted } = situation;
  const step: Vec3 = [x * by, 0, z * by];
  const holding = partner.grips.map(({ mine }) => mine);
  const free = new Set<SegmentName>(
    SIDES.filter((side) =>
      holding.some((name) => /^(forearm|hand)/.test(name) && name.endsWith(side)),
    ).flatMap((side) => [`upperArm${side}`, `forearm${side}`, `hand${side}`] as const),
  );
  if (free.size === 0) return null;
  const locks: Lock[] = SEGMENTS.filter((name) => !free.has(name));
  const { pose, reached } = solveReach(body, figure.pose, {
    goals: holding
      .filter((mine) => free.has(mine))
      .map((mine) => {
        const point = holdPoint(body, mine);
        return { segment: mine, point, target: add(pointOn(posed, mine, point), step) };
      }),
    planted: planted.filter(({ segment }) => !free.has(segment)),
    locks,
  });
  if (!reached) return null;
  const other = partner.figure;
  const changes: Changes = {
    poses: {
      [figure.id]: pose,
      [other.id]: { ...other.pose, position: add(other.pose.position, step) },
    },
    loads: {},
  };
  return { pose, changes, after: groupAfter(situation, changes) };
}

function drawNear(situation: Situation, partner: Partner, inset: number): Way {
  const feet = SIDES.filter((side) => stands(situation, side));
  const arms = SIDES.flatMap(
    (side) => [`upperArm${side}`, `forearm${side}`, `hand${side}`] as const,
  );
  const held = arms.filter((name) =>
    partner.grips.some(({ mine }) => mine.slice(-1) === name.slice(-1)),
  );
  const legs = feet.flatMap((side) => [`thigh${side}`, `shank${side}`, `foot${side}`] as const);
  const free = { joints: [...legs, ...held], hipsPlace: true, hipsTurn: true };
  const found = bringCentre(situation, free, inset, 'the figure');
  if ('cannot' in found) return { strategy, cannot: `${capital(found.cannot)}.` };
  const after = poseFigure(situation.body, found.pose);
  const apart = (posed: typeof after): number => {
    const [x, , z] = subtract(partner.posed.centre, posed.centre);
    return Math.hypot(x, z);
  };
  const by = apart(situation.posed) - apart(after);
  if (by <= 0)
    return { strategy, cannot: `It would have to lean away from ${partner.figure.name}.` };
  return told(situation, partner, by, found);
}

function told(situation: Situation, { figure }: Partner, by: number, drawn: Drawn): Way {
  const { pose, changes, after } = drawn;
  const text = `${situation.figure.name} and ${figure.name} ${centimetres(by)} closer`;
  const move: Move = { part: figure.name, by, unit: 'm', text };
  return {
    strategy,
    changes,
    after,
    moves: [move, ...poseMoves(situation, pose)],
    sentence: `${text}: ${outcome(after, onFeet(situation))}.`,
  };
}
