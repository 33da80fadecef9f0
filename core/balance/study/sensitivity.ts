import { PATCHES, SEGMENTS, type SegmentName } from '../../body/index.ts';
import { cross, rotate, scale, subtract, type Vec2, type Vec3 } from '../../geometry/index.ts';
import type { PosedFigure } from '../../pose/index.ts';
import { facing } from '../../scene/index.ts';
import { HEADINGS, headingOf } from '../heading.ts';
import { segmentMasses } from './let-go.ts';
import { carriersOf } from './masses.ts';
import type { Rig } from './rig.ts';
import type { JointPull, Sensitivity } from './types.ts';
import { cannotTell } from './words.ts';

type Joint = JointPull['joint'];
type Axis = JointPull['axis'];

const JOINTS = SEGMENTS.filter((name): name is Joint => name !== 'pelvis');

/** Turns of less than this, metres of the plumb point a degree, move nothing. */
const NOTHING = 1e-6;

/**
 * How the plumb point of the group moves when one joint of a figure turns by one degree, strongest
 * first. The side of the joint that stands on something stays; the other turns about it. Where both legs
 * stand, their hips, knees or ankles bend together, about the line through both. A joint with something
 * standing on either side of it is locked and left out.
 *
 * With m the mass of the part that turns and r from the joint to its centre, the common centre of mass M
 * moves by (m / M) axis x r per radian: the exact derivative of forward kinematics.
 */
export function sensitivityOf(rig: Rig, figure: string): Sensitivity {
  const name = rig.group.figures.find(({ id }) => id === figure)!.name;
  const what = `which joint of ${name} moves the plumb line most`;
  const total = rig.reading.mass;
  if (total === null || total === 0)
    return {
      figure,
      answer: cannotTell(what, `the mass of ${rig.missing.join(' and ')} is not set`),
    };
  // In the air no turn moves the centre.
  if (rig.contacts.length === 0)
    return { figure, answer: cannotTell(what, 'nothing touches a surface') };
  const posed = rig.world.posed.get(figure)!;
  const standing = standingSegments(rig, figure, posed);
  const masses = massesBySegment(rig, figure, posed);
  const joints = JOINTS.flatMap((joint): JointPull[] => {
    const turning = turningPart(posed, joint, standing);
    if (turning === null) return [];
    const moment = momentOf(masses, turning.moves, turning.about);
    const pulls = turning.axes.map(([axis, along]): JointPull => {
      const [x, , z] = scale(cross(along, moment), Math.PI / 180 / total);
      return {
        figure,
        joint,
        both: turning.both,
        axis,
        perDegree_m: [x, z],
        size_m: Math.hypot(x, z),
      };
    });
    const best = pulls.reduce((a, b) => (b.size_m > a.size_m ? b : a));
    return best.size_m < NOTHING ? [] : [best];
  });
  joints.sort((a, b) => b.size_m - a.size_m);
  if (joints.length === 0)
    return { figure, answer: cannotTell(what, 'every joint is locked by what it stands on') };
  return {
    figure,
    answer: { kind: 'told', sentence: sentenceOf(name, joints, posed), joints },
  };
}

/** Segments of a figure that touch something. */
function standingSegments(
  { contacts, between }: Rig,
  figure: string,
  { body }: PosedFigure,
): ReadonlySet<SegmentName> {
  const patches = new Set(
    [...contacts, ...between]
      .filter(({ owner, patch }) => patch !== 'underside' && owner === figure)
      .map(({ patch }) => patch),
  );
  return new Set(
    PATCHES.filter((name) => patches.has(name)).map((name) => body.patches[name].segment),
  );
}

interface MassAt {
  readonly segment: SegmentName;
  readonly mass: number;
  readonly at: Vec3;
}

/** Segments with their masses, and what the figure carries on the segments that it goes with. */
function massesBySegment(rig: Rig, figure: string, posed: PosedFigure): readonly MassAt[] {
  const named = Object.values(posed.body.segments).filter(({ mass }) => mass > 0);
  const own = segmentMasses(posed).map(({ mass, at }, i) => ({
    segment: named[i]!.name,
    mass,
    at,
  }));
  const loads = rig.group.loads.flatMap((load): MassAt[] => {
    const share = carriersOf(rig, load.id).find((carrier) => carrier.figure === figure)?.share;
    if (share === undefined) return [];
    const at = rig.world.placed.get(load.id)!.position;
    const mass = (load.mass ?? 0) * share;
    const { place } = load;
    if (place.kind === 'attached') return [{ segment: place.segment, mass, at }];
    const hands: readonly SegmentName[] =
      place.kind === 'held' && place.hands !== 'both'
        ? [place.hands === 'left' ? 'handL' : 'handR']
        : ['handL', 'handR'];
    return hands.map((segment) => ({ segment, mass: mass / hands.length, at }));
  });
  return [...own, ...loads];
}

interface Turning {
  readonly moves: ReadonlySet<SegmentName>;
  readonly about: Vec3;
  readonly both: boolean;
  readonly axes: readonly (readonly [Axis, Vec3])[];
}

function turningPart(
  posed: PosedFigure,
  joint: Joint,
  standing: ReadonlySet<SegmentName>,
): Turning | null {
  const { body, segments } = posed;
  const beyond = belowJoint(posed, joint);
  const rest = new Set(SEGMENTS.filter((name) => !beyond.has(name)));
  const stands = (part: ReadonlySet<SegmentName>): boolean =>
    [...part].some((s) => standing.has(s));
  const parent = segments[body.segments[joint].parent!].rotation;
  const axes: Turning['axes'] = [
    ['flexion', rotate(parent, [1, 0, 0])],
    ['rotation', rotate(parent, [0, 1, 0])],
    ['abduction', rotate(parent, [0, 0, 1])],
  ];
  const about = segments[joint].position;
  if (!stands(beyond)) return { moves: beyond, about, both: false, axes };
  if (!stands(rest)) return { moves: rest, about, both: false, axes };

  // The other leg's joint bends along; told once, at the left.
  if (!joint.endsWith('L') || !/^(thigh|shank|foot|toes)/.test(joint)) return null;
  const other = `${joint.slice(0, -1)}R` as Joint;
  const others = belowJoint(posed, other);
  const above = new Set(SEGMENTS.filter((name) => !beyond.has(name) && !others.has(name)));
  if (stands(above)) return null;
  const b = segments[other].position;
  const [fx, fz] = facing(segments.pelvis.rotation);
  return {
    moves: above,
    about: [(about[0] + b[0]) / 2, (about[1] + b[1]) / 2, (about[2] + b[2]) / 2],
    both: true,
    axes: [['flexion', [fz, 0, -fx]]],
  };
}

/** A joint's segment and all beyond it. */
function belowJoint({ body }: PosedFigure, joint: SegmentName): ReadonlySet<SegmentName> {
  const found = new Set<SegmentName>([joint]);
  for (const name of SEGMENTS) {
    const { parent } = body.segments[name];
    if (parent !== null && found.has(parent)) found.add(name);
  }
  return found;
}

/** sum(m (c - p)) of the parts that move. */
function momentOf(masses: readonly MassAt[], moves: ReadonlySet<SegmentName>, about: Vec3): Vec3 {
  let sum: Vec3 = [0, 0, 0];
  for (const { segment, mass, at } of masses) {
    if (!moves.has(segment)) continue;
    const arm = scale(subtract(at, about), mass);
    sum = [sum[0] + arm[0], sum[1] + arm[1], sum[2] + arm[2]];
  }
  return sum;
}

const BALL = 'ball of the foot';

const JOINT_WORDS: Readonly<Record<string, string>> = {
  abdomen: 'the waist',
  chest: 'the chest',
  head: 'the neck',
  upperArm: 'shoulder',
  forearm: 'elbow',
  hand: 'wrist',
  thigh: 'hip',
  shank: 'knee',
  foot: 'ankle',
  toes: BALL,
};

function sentenceOf(name: string, joints: readonly JointPull[], posed: PosedFigure): string {
  const forward = facing(posed.segments.pelvis.rotation);
  const [first, next] = joints.map(
    (pull) =>
      `${jointWords(pull)} ${pull.both ? 'move' : 'moves'} it ${(pull.size_m * 1000).toFixed(1)} mm ${bothWays(pull.perDegree_m, forward)}`,
  );
  const rest = next === undefined ? '' : `, then ${next}`;
  return `What moves the plumb line of ${name} most now, for one degree: ${first}${rest}.`;
}

function jointWords({ joint, both }: JointPull): string {
  const side = joint.endsWith('L') ? 'left' : joint.endsWith('R') ? 'right' : null;
  const word = JOINT_WORDS[side === null ? joint : joint.slice(0, -1)]!;
  if (!both) return side === null ? word : `the ${side} ${word}`;
  return word === BALL ? 'the balls of both feet together' : `both ${word}s together`;
}

/** The line of a movement by its first four headings: "forwards or backwards". */
function bothWays(direction: Vec2, forward: Vec2): string {
  const at = HEADINGS.indexOf(headingOf(direction, forward));
  const first = HEADINGS[at % 4]!;
  const second = HEADINGS[(at % 4) + 4]!;
  return `${first} or ${second}`;
}
