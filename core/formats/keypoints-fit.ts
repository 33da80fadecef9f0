import { buildBody } from '../body/build-body.ts';
import type { Body, PatchName, SegmentName, TableName } from '../body/types.ts';
import { PATCHES } from '../body/types.ts';
import type { Vec2 } from '../geometry/types.ts';
import { poseFigure } from '../pose/pose-figure.ts';
import type { Pose } from '../pose/types.ts';
import type { ContactSetting, Figure } from '../scene/types.ts';
import { median } from './clip-frame.ts';
import { levelled } from './keypoints-camera.ts';
import type { TrackedPerson } from './keypoints-people.ts';
import {
  type FittedFigure,
  fitFigure,
  footPatches,
  headingSeen,
  type PlanePoints,
  pairMiddle,
  planePoints,
  soleHeight,
} from './keypoints-pose.ts';
import { KEYPOINTS, type PicturePerson, type Sight } from './keypoints-read.ts';

/** Which way a figure faces in the picture. */
export const FACINGS = ['camera', 'away', 'left', 'right'] as const;
export type Facing = (typeof FACINGS)[number];

const FACING: Readonly<Record<Facing, Vec2>> = {
  camera: [0, 1],
  away: [0, -1],
  left: [-1, 0],
  right: [1, 0],
};

/** What is set for one person; what is left out is as for all. */
export interface PersonSettings {
  readonly name?: string;
  readonly stature?: number;
  readonly mass?: number;
  readonly table?: TableName;
  /** Found from shoulders, hips and face when left out. */
  readonly facing?: Facing;
  /** What carries, as set by a person: these patches are planted and all others lifted, in every frame. */
  readonly base?: readonly PatchName[];
}

/** A joint of a fitted figure that the picture shows badly or not at all. */
export interface DoubtfulPoint {
  readonly figure: string;
  /** Of the 17 COCO points. */
  readonly point: string;
  readonly sight: Exclude<Sight, 'seen'>;
}

/** One person, fitted in every picture in which that can be done. */
export interface FittedPerson {
  readonly id: string;
  readonly body: Body;
  readonly baseGiven: boolean;
  /** Null where the person is not there or has no trunk to lay a figure on. */
  readonly frames: readonly (PersonFrame | null)[];
}

export interface PersonFrame {
  readonly figure: Figure;
  readonly doubts: readonly DoubtfulPoint[];
  readonly assumed: readonly SegmentName[];
  /** Sine and cosine of the turn from facing the camera to the picture's right. */
  readonly heading: Vec2;
  /** Mean distance of the figure's joints from the picture's points, metres; null without points. */
  readonly miss: number | null;
}

/** An ankle less than this above the floor may stand, metres; own choice, as for clips of a few frames. */
const STANDS = 0.06;
/** Headings are evened over this many pictures. */
const EVENED = 5;

export interface FitOptions {
  readonly stature: number;
  readonly mass: number;
  readonly table: TableName;
  readonly settings: PersonSettings;
  /** Metres a pixel. */
  readonly scale: number;
  /** Lean of true up to the right of the picture's up, radians. */
  readonly tilt: number;
  /** For a person without a name of its own. */
  readonly name: string;
}

export const bodyOf = ({
  stature,
  mass,
  table,
  settings,
}: Omit<FitOptions, 'scale' | 'tilt' | 'name'>): Body =>
  buildBody({
    table: settings.table ?? table,
    stature: settings.stature ?? stature,
    mass: settings.mass ?? mass,
  });

/** Fits one person in all pictures, standing on y = 0 where the lowest foot of all pictures stands. */
export function fitPerson({ id, frames }: TrackedPerson, options: FitOptions): FittedPerson {
  const { settings, scale, tilt } = options;
  const body = bodyOf(options);
  const planes = frames.map((person) => person && planeOf(person, scale, tilt));
  const headings = evened(
    planes.map(
      (points) => points && (settings.facing ? FACING[settings.facing] : headingSeen(body, points)),
    ),
  );
  const laid = planes.map((points, i) => {
    const heading = headings[i];
    return points && heading ? fitFigure(body, points, heading, ['L', 'R']) : null;
  });
  // A floor for all pictures: the camera is taken to stand still.
  const heights = laid.flatMap((one) => (one ? [lowerSole(body, one.pose)] : []));
  const floor = heights.length === 0 ? 0 : lowest(heights);
  return {
    id,
    body,
    baseGiven: settings.base !== undefined,
    frames: frames.map((person, i): PersonFrame | null => {
      const [points, heading, first] = [planes[i], headings[i], laid[i]];
      if (!person || !points || !heading || !first) return null;
      const standing = (['L', 'R'] as const).filter(
        (side) => soleHeight(body, first.pose, side) - floor < STANDS,
      );
      const fitted = fitFigure(body, points, heading, standing) ?? first;
      const pose = lowered(fitted.pose, floor);
      const base = settings.base ?? standing.flatMap(footPatches);
      const figure: Figure = {
        id,
        name: settings.name ?? options.name,
        body: body.spec,
        pose,
        contacts: contactsOf(base),
      };
      const doubts = doubtsOf(id, person);
      return {
        figure,
        doubts,
        heading,
        assumed: fitted.assumed,
        miss: missOf(body, fitted, points),
      };
    }),
  };
}

const planeOf = (person: PicturePerson, scale: number, tilt: number): PlanePoints =>
  planePoints(
    person.points.map((point) => {
      const [x, y] = levelled(point, tilt);
      return { at: [x * scale, y * scale], sight: point.sight };
    }),
  );

/** Unit headings, each the mean of those about it: a breadth of shoulders is a shaky sign. */
function evened(headings: readonly (Vec2 | null)[]): (Vec2 | null)[] {
  const half = (EVENED - 1) / 2;
  return headings.map((own, i) => {
    if (own === null) return null;
    const near = headings.slice(Math.max(0, i - half), i + half + 1);
    let [x, y] = [0, 0];
    for (const heading of near) {
      x += heading?.[0] ?? 0;
      y += heading?.[1] ?? 0;
    }
    const size = Math.hypot(x, y);
    return size < 1e-6 ? own : [x / size, y / size];
  });
}

/** All patches are said, so that nothing carries by chance of an assumed depth. */
function contactsOf(base: readonly PatchName[]): Figure['contacts'] {
  const planted = new Set(base);
  return Object.fromEntries(
    PATCHES.map((patch): [PatchName, ContactSetting] => [
      patch,
      planted.has(patch) ? 'planted' : 'lifted',
    ]),
  );
}

const lowerSole = (body: Body, pose: Pose): number =>
  Math.min(soleHeight(body, pose, 'L'), soleHeight(body, pose, 'R'));

/** The lowest but for one in twenty: a single point gone astray is no floor. */
function lowest(heights: readonly number[]): number {
  const sorted = [...heights].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 20)] ?? 0;
}

function lowered(pose: Pose, floor: number): Pose {
  const [x, y, z] = pose.position;
  return { ...pose, position: [x, y - floor, z] };
}

function doubtsOf(figure: string, { points }: PicturePerson): DoubtfulPoint[] {
  return points.flatMap(({ sight }, i) =>
    sight === 'seen' ? [] : [{ figure, point: KEYPOINTS[i] as string, sight }],
  );
}

function missOf(body: Body, { pose }: FittedFigure, points: PlanePoints): number | null {
  const { segments } = poseFigure(body, pose);
  const ways: number[] = [];
  for (const [side, word] of [
    ['L', 'left'],
    ['R', 'right'],
  ] as const) {
    for (const [segment, part] of [
      [`upperArm${side}`, 'shoulder'],
      [`forearm${side}`, 'elbow'],
      [`hand${side}`, 'wrist'],
      [`thigh${side}`, 'hip'],
      [`shank${side}`, 'knee'],
      [`foot${side}`, 'ankle'],
    ] as const) {
      const seen = points.at(`${word}_${part}`);
      const [x, y] = segments[segment].position;
      if (seen) ways.push(Math.hypot(x - seen[0], y - seen[1]));
    }
  }
  return ways.length === 0 ? null : ways.reduce((sum, way) => sum + way, 0) / ways.length;
}

/** Ankle that is lowest in a picture, levelled pixels; null without one. */
export function lowestAnkle({ points }: PicturePerson, tilt: number): number | null {
  const ankles = points.slice(15).filter(({ sight }) => sight !== 'missing');
  return ankles.length === 0 ? null : Math.min(...ankles.map((point) => levelled(point, tilt)[1]));
}

/** Bones between points, and their length in a body, metres. */
function bonesOf({ segments }: Body): [from: PointPair, to: PointPair, length: number][] {
  const long = (name: SegmentName): number => Math.abs(segments[name].offset[1]);
  return (['left', 'right'] as const).flatMap((word): [PointPair, PointPair, number][] => {
    const side = word === 'left' ? 'L' : 'R';
    return [
      [`${word}_hip`, `${word}_knee`, long(`shank${side}`)],
      [`${word}_knee`, `${word}_ankle`, long(`foot${side}`)],
      [`${word}_shoulder`, `${word}_elbow`, long(`forearm${side}`)],
      [`${word}_elbow`, `${word}_wrist`, long(`hand${side}`)],
    ];
  });
}
type PointPair = Parameters<PlanePoints['at']>[0];

/**
 * Metres a pixel from the bones themselves: none can look longer than it is, so in each picture the
 * longest-looking bones set the scale (the second of them, since one point may be astray); of several
 * pictures the median. Null where no bone is there.
 */
export function scaleByBones({ frames }: TrackedPerson, body: Body, tilt: number): number | null {
  const trunk =
    body.segments.abdomen.offset[1] +
    body.segments.chest.offset[1] +
    body.segments.upperArmL.offset[1];
  const found = frames.flatMap((person) => {
    if (!person) return [];
    const points = planeOf(person, 1, tilt);
    const scales = bonesOf(body).flatMap(([from, to, length]) =>
      spanScale(points.at(from), points.at(to), length),
    );
    scales.push(...spanScale(pairMiddle(points, 'hip'), pairMiddle(points, 'shoulder'), trunk));
    scales.sort((a, b) => a - b);
    const scale = scales[Math.min(1, scales.length - 1)];
    return scale === undefined ? [] : [scale];
  });
  return found.length === 0 ? null : median(found);
}

function spanScale(a: Vec2 | null, b: Vec2 | null, length: number): number[] {
  if (!a || !b) return [];
  const pixels = Math.hypot(a[0] - b[0], a[1] - b[1]);
  return pixels > 1e-6 ? [length / pixels] : [];
}
