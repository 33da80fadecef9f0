import { SEGMENTS } from '../../body/index.ts';
import { add, conjugate, rotate, type Vec2, type Vec3 } from '../../geometry/index.ts';
import { type Lock, type Pose, palmCentre, palmLocal, solveReach } from '../../pose/index.ts';
import { extentsOf, handsOf, type Load, type LoadPlace } from '../../scene/index.ts';
import type { GroupReading } from '../types.ts';
import { tooShort } from './centre-way.ts';
import { onFeet } from './joint-ways.ts';
import { poseMoves } from './moves.ts';
import { groupAfter, type Situation } from './situation.ts';
import { aimAt, carryingOutline } from './target.ts';
import type { Changes, Move, Way } from './types.ts';
import { centimetres, outcome } from './words.ts';

/** A load moved towards the body, and what comes of it. */
interface Nearer {
  readonly by: number;
  readonly pose: Pose;
  readonly changes: Changes;
  readonly after: GroupReading;
}

/** Tries until the plumb line is where it is wanted: the load's share of the whole says how far. */
const ROUNDS = 6;
/** The line counts as brought to its place within this, metres. */
const THERE = 1.5e-3;

/**
 * The heaviest load is carried closer: in the hands, which go with it while everything else stays, or on
 * the body. Never closer than its own half depth in front of (or behind) the trunk.
 */
export function loadWay(situation: Situation, inset: number): Way {
  const strategy = 'load-closer';
  const load = [...situation.carried].sort((a, b) => (b.mass ?? 0) - (a.mass ?? 0))[0];
  if (load === undefined || load.mass === null || load.mass === 0)
    return { strategy, cannot: 'No load of known mass is carried.' };
  const { plumb, mass, support } = situation.group;
  if (plumb === null || mass === null) return { strategy, cannot: 'Its weight is not known.' };
  const aim = aimAt(plumb, carryingOutline(support), inset);
  if (aim === null) return { strategy, cannot: 'Nothing holds on a support without area.' };
  const wanted = Math.hypot(aim.point[0] - plumb[0], aim.point[1] - plumb[1]);
  const away: Vec2 = [(aim.point[0] - plumb[0]) / wanted, (aim.point[1] - plumb[1]) / wanted];

  const { name } = load;
  const closest = roomToBody(situation, load, away);
  if (closest === null)
    return { strategy, cannot: `${name} would have to go farther from the body.` };
  let by = Math.min((wanted * mass) / load.mass, closest);
  let gained = 0;
  for (let round = 0; round < ROUNDS; round++) {
    const nearer = moveLoad(situation, load, away, by);
    if (nearer === null) return { strategy, cannot: `The hands cannot bring ${name} closer.` };
    const { after } = nearer;
    const line = after.plumb ?? plumb;
    gained = (line[0] - plumb[0]) * away[0] + (line[1] - plumb[1]) * away[1];
    if (after.verdict === 'holds' && gained >= wanted - THERE) return told(situation, load, nearer);
    if (by >= closest || gained <= 0) break;
    by = Math.min(closest, (by * (wanted + THERE / 4)) / gained);
  }
  const reason = tooShort(`${name}, ${centimetres(by)} closer,`, gained, wanted);
  return { strategy, cannot: `${reason}.` };
}

function told(situation: Situation, { name }: Load, nearer: Nearer): Way {
  const { by, pose, changes, after } = nearer;
  const move: Move = { part: name, by, unit: 'm', text: `${name} ${centimetres(by)} closer` };
  return {
    strategy: 'load-closer',
    changes,
    after,
    moves: [move, ...poseMoves(situation, pose)],
    sentence: `${move.text}: ${outcome(after, onFeet(situation))}.`,
  };
}

/**
 * How far the load may go along `away` before it meets the trunk, metres; null where that way leads off
 * the body.
 */
function roomToBody({ posed, report, body }: Situation, load: Load, away: Vec2): number | null {
  const { centre } = report.loads[load.id]!;
  const chest = posed.segments.chest.position;
  const to: Vec2 = [chest[0] - centre[0], chest[2] - centre[2]];
  const distance = Math.hypot(...to);
  const towards = to[0] * away[0] + to[1] * away[1];
  if (towards <= 0) return null;
  const trunk = Math.abs(body.patches.back.outline[0]![2]);
  const half = extentsOf(load.shape)[2] / 2;
  return distance - trunk - half <= 0 ? null : Math.min(towards, distance - trunk - half);
}

function moveLoad(situation: Situation, load: Load, [x, z]: Vec2, by: number): Nearer | null {
  const { figure, body, posed, planted } = situation;
  const step: Vec3 = [x * by, 0, z * by];
  const { place } = load;
  if (place.kind === 'standing') return null;
  if (place.kind === 'attached') {
    const turned = rotate(conjugate(posed.segments[place.segment].rotation), step);
    const moved: LoadPlace = { ...place, offset: add(place.offset, turned) };
    return weighed(situation, by, figure.pose, { poses: {}, loads: { [load.id]: moved } });
  }
  const sides = handsOf(place);
  const arms = new Set(
    sides.flatMap((side) => [`upperArm${side}`, `forearm${side}`, `hand${side}`]),
  );
  const locks: Lock[] = SEGMENTS.filter((name) => !arms.has(name));
  const { pose, reached } = solveReach(body, figure.pose, {
    goals: sides.map((side) => ({
      segment: `hand${side}`,
      point: palmLocal(body, side),
      target: add(palmCentre(posed, side), step),
    })),
    planted: planted.filter(({ segment }) => !arms.has(segment)),
    locks,
  });
  if (!reached) return null;
  return weighed(situation, by, pose, { poses: { [figure.id]: pose }, loads: {} });
}

const weighed = (situation: Situation, by: number, pose: Pose, changes: Changes): Nearer => ({
  by,
  pose,
  changes,
  after: groupAfter(situation, changes),
});
