import type { SegmentName } from '../../body/index.ts';
import {
  add,
  angleBetween,
  IDENTITY,
  multiply,
  type Quat,
  scale,
  subtract,
  type Vec3,
} from '../../geometry/index.ts';
import { type Pose, type PosedFigure, palmCentre, poseFigure, setJoint } from '../../pose/index.ts';
import { bringCentre, type Freedom } from './centre-way.ts';
import { poseMoves, shift } from './moves.ts';
import { isFree, SIDES, type Side, type Situation, stands } from './situation.ts';
import type { Move, NoRepair, Repair, Strategy, Way } from './types.ts';
import { capital, degrees, outcome, sideWord, wayWords } from './words.ts';

const leg = (side: Side): readonly SegmentName[] => [`thigh${side}`, `shank${side}`, `foot${side}`];
const arm = (side: Side): readonly SegmentName[] => [`upperArm${side}`, `forearm${side}`];

/** Whether a leg rests on something: by its foot or its knee. */
const legRests = (situation: Situation, side: Side): boolean =>
  stands(situation, side) || situation.contacts.some(({ patch }) => patch === `knee${side}`);

/** Joints that follow when the trunk moves: resting legs, arms whose hands are planted. */
function followers(situation: Situation): readonly SegmentName[] {
  const { planted } = situation;
  return SIDES.flatMap((side) => [
    ...(legRests(situation, side) ? leg(side) : []),
    ...(planted.some(({ segment }) => segment === `hand${side}` || segment === `forearm${side}`)
      ? [...arm(side), `hand${side}` as const]
      : []),
  ]);
}

const cannot = (strategy: Strategy, why: string): NoRepair => ({
  strategy,
  cannot: `${capital(why)}.`,
});

const sits = ({ contacts }: Situation): boolean => contacts.some(({ patch }) => patch === 'seat');

/** The hips shift, the trunk stays upright as it was, the planted legs follow. */
export function hipsWay(situation: Situation, inset: number): Way {
  if (sits(situation)) return cannot('hips', 'the hips rest on the seat');
  const free = { joints: followers(situation), hipsPlace: true, hipsTurn: false };
  return jointWay(situation, 'hips', free, inset, 'the hips', (pose) => {
    const way = subtract(pose.position, situation.figure.pose.position);
    return { lead: `Hips ${wayWords(way, situation.forward)}`, first: [] };
  });
}

/** The trunk tilts about the hips, which stay; free arms keep their direction, as hanging arms do. */
export function trunkWay(situation: Situation, inset: number): Way {
  const joints = [...followers(situation), 'abdomen', 'chest'] as const;
  const hang = SIDES.filter((side) => isFree(situation, side));
  const free = { joints, hipsPlace: false, hipsTurn: true, hang };
  const way = trunkFrom(situation, free, inset);
  if (!('cannot' in way)) return way;
  // A trunk bent past the level comes back over the feet by bending further, or by rising; where the
  // one is blocked, the other may do.
  const risen = trunkFrom(situation, free, inset, rising(situation));
  return 'cannot' in risen ? way : risen;
}

/** Where a rising trunk is looked for: this far up from where it is, radians. */
const RISE = 1.2;

/** The pose with its trunk tilted back about the hips, the legs as they are. */
function rising({ figure: { pose } }: Situation): Pose {
  const turn = (radians: number): Quat => [Math.sin(radians / 2), 0, 0, Math.cos(radians / 2)];
  const tilted = { ...pose, rotation: multiply(pose.rotation, turn(-RISE)) };
  return SIDES.reduce((one, side) => {
    const thigh = `thigh${side}` as const;
    return setJoint(one, thigh, multiply(turn(RISE), pose.joints[thigh] ?? IDENTITY));
  }, tilted);
}

function trunkFrom(situation: Situation, free: Freedom, inset: number, begin?: Pose): Way {
  return jointWay(
    situation,
    'trunk',
    free,
    inset,
    'the trunk',
    (pose) => {
      const [was, is] = [situation.posed, poseFigure(situation.body, pose)].map((posed) =>
        subtract(posed.segments.head.position, posed.segments.pelvis.position),
      ) as [Vec3, Vec3];
      return { lead: `Trunk ${tilt(situation, was, is)}`, first: [] };
    },
    begin,
  );
}

/** The whole body leans at the ankles as one piece. */
export function leanWay(situation: Situation, inset: number): Way {
  const feet = SIDES.filter((side) => stands(situation, side));
  if (feet.length === 0) return cannot('lean', 'no foot stands');
  if (sits(situation)) return cannot('lean', 'the hips rest on the seat');
  const arms = followers(situation).filter((name) => !/^(thigh|shank|foot)/.test(name));
  const joints = [...feet.map((side) => `foot${side}` as const), ...arms];
  const free = { joints, hipsPlace: true, hipsTurn: true };
  return jointWay(situation, 'lean', free, inset, 'the whole body at the ankles', (pose) => {
    const by = angleBetween(pose.rotation, situation.figure.pose.rotation);
    const way = subtract(pose.position, situation.figure.pose.position);
    const lead = `Whole body ${degrees(by)} ${oneWay(situation, way)} at the ankles`;
    return { lead, first: [] };
  });
}

/** One free arm; of two the one that moves less. */
export function oneArmWay(situation: Situation, inset: number): Way {
  const free = SIDES.filter((side) => isFree(situation, side));
  if (free.length === 0) return cannot('one-arm', 'no arm is free');
  const ways = free.map((side) => armsWay(situation, 'one-arm', [side], inset));
  const repairs = ways.filter((way): way is Repair => !('cannot' in way));
  if (repairs.length === 0) return ways[0]!;
  return repairs.reduce((a, b) => (b.moves[0]!.by < a.moves[0]!.by ? b : a));
}

export function bothArmsWay(situation: Situation, inset: number): Way {
  return SIDES.every((side) => isFree(situation, side))
    ? armsWay(situation, 'both-arms', SIDES, inset)
    : cannot('both-arms', 'not both arms are free');
}

function armsWay(
  situation: Situation,
  strategy: 'one-arm' | 'both-arms',
  sides: readonly Side[],
  inset: number,
): Way {
  const joints = sides.flatMap(arm);
  const what = sides.length === 2 ? 'both arms' : `the ${sideWord(sides[0]!)} arm`;
  const free = { joints, hipsPlace: false, hipsTurn: false };
  return jointWay(situation, strategy, free, inset, what, (pose) => {
    const after = poseFigure(situation.body, pose);
    const ways = sides.map((side) => handWay(situation.posed, after, side));
    const first = sides.map((side, i) => shift(situation, `${sideWord(side)} hand`, ways[i]!));
    const mean = scale(ways.reduce(add), 1 / ways.length);
    const lead =
      sides.length === 2
        ? `Both hands ${wayWords(mean, situation.forward)}`
        : capital(first[0]!.text);
    return { lead, first };
  });
}

const handWay = (before: PosedFigure, after: PosedFigure, side: Side): Vec3 =>
  subtract(palmCentre(after, side), palmCentre(before, side));

/** A leg that carries nothing goes where it pays. */
export function freeLegWay(situation: Situation, inset: number): Way {
  const side = SIDES.find((one) => !legRests(situation, one));
  if (side === undefined) return cannot('free-leg', 'no leg is free');
  if (SIDES.every((one) => !legRests(situation, one)) && !sits(situation))
    return cannot('free-leg', 'no leg stands');
  const free = { joints: leg(side), hipsPlace: false, hipsTurn: false };
  return jointWay(situation, 'free-leg', free, inset, `the ${sideWord(side)} leg`, (pose) => {
    const after = poseFigure(situation.body, pose).segments[`foot${side}`].position;
    const way = subtract(after, situation.posed.segments[`foot${side}`].position);
    const first = shift(situation, `${sideWord(side)} foot`, way);
    return { lead: capital(first.text), first: [first] };
  });
}

function jointWay(
  situation: Situation,
  strategy: Strategy,
  free: Freedom,
  inset: number,
  what: string,
  tell: (pose: Pose) => { readonly lead: string; readonly first: readonly Move[] },
  begin?: Pose,
): Way {
  const found = bringCentre(situation, free, inset, what, begin);
  if ('cannot' in found) return cannot(strategy, found.cannot);
  const { lead, first } = tell(found.pose);
  return {
    strategy,
    changes: found.changes,
    after: found.after,
    moves: [...first, ...poseMoves(situation, found.pose)],
    sentence: `${lead}: ${outcome(found.after, onFeet(situation))}.`,
  };
}

/** Whether it stands on its feet alone, so that edges ahead and behind are toes and heels. */
export const onFeet = ({ contacts, group }: Situation): boolean =>
  group.support.basis === 'hull' && contacts.every(({ patch }) => /^(sole|toes)/.test(patch));

/** Angle between two trunks and where the second leans further: "12 degrees forward". */
function tilt(situation: Situation, was: Vec3, is: Vec3): string {
  const cosine =
    (was[0] * is[0] + was[1] * is[1] + was[2] * is[2]) / (Math.hypot(...was) * Math.hypot(...is));
  return `${degrees(Math.acos(Math.min(1, cosine)))} ${oneWay(situation, subtract(is, was))}`;
}

/** The one word of a way in plan: "forward", "back", "to the left", "to the right". */
function oneWay({ forward }: Situation, way: Vec3): string {
  const ahead = way[0] * forward[0] + way[2] * forward[1];
  const left = way[0] * forward[1] - way[2] * forward[0];
  if (Math.abs(ahead) >= Math.abs(left)) return ahead < 0 ? 'back' : 'forward';
  return left < 0 ? 'to the right' : 'to the left';
}
