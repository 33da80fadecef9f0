import type { FigureReading, GroupReading } from '../balance/types.ts';
import type { TableName } from '../body/types.ts';
import { floorSurface, type Scene } from '../scene/index.ts';
import { checkSizes } from './clip-build.ts';
import { median } from './clip-frame.ts';
import { ASSUMED_STATURE } from './clip-report.ts';
import {
  horizonHeight,
  type LineUp,
  scaleByDrop,
  scaleByPerson,
  tiltOf,
} from './keypoints-camera.ts';
import {
  bodyOf,
  type DoubtfulPoint,
  type FittedPerson,
  fitPerson,
  lowestAnkle,
  type PersonSettings,
  scaleByBones,
} from './keypoints-fit.ts';
import { type TrackedPerson, trackPeople } from './keypoints-people.ts';
import { type KeypointFile, readKeypointFile } from './keypoints-read.ts';
import { type KeypointReport, type PersonReport, reportOf } from './keypoints-report.ts';
import { judgeInPicture, type PictureVerdict } from './keypoints-verdict.ts';

export interface KeypointOptions {
  /** Standing height of everyone who is not set otherwise, metres; 1.7 when left out, and the report says so. */
  readonly stature?: number;
  /** Kilograms. */
  readonly mass: number;
  readonly table: TableName;
  readonly name?: string;
  /** Pictures a second; 24 when left out, and the report says so. */
  readonly rate?: number;
  readonly lineUp?: LineUp;
  /** By figure: `person-1` is the first in the file. */
  readonly people?: Readonly<Record<string, PersonSettings>>;
  /** Scores below this are marked as unsure; 0.3 when left out. */
  readonly lowScore?: number;
}

/** People of pictures as figures: a scene a picture. */
export interface KeypointClip {
  readonly name: string;
  /** Pictures a second. */
  readonly rate: number;
  readonly frameCount: number;
  readonly report: KeypointReport;
  /** Everyone who could be fitted, side by side on a floor at y = 0; the picture plane is x and y. */
  sceneAt(frame: number): Scene;
  /** Points that the picture shows badly or not at all, for marking the joints. */
  doubtsAt(frame: number): readonly DoubtfulPoint[];
  /** What the picture can say of a reading of one of its scenes (keypoints-verdict.ts). */
  judge(reading: GroupReading | FigureReading): PictureVerdict;
}

export type KeypointsRead =
  | { readonly ok: true; readonly clip: KeypointClip }
  | { readonly ok: false; readonly message: string };

const DEFAULT_RATE = 24;
const LOW_SCORE = 0.3;

/**
 * Reads COCO keypoints (17 points; one or many people, one or many pictures) as figures in the picture
 * plane. Never throws for a bad file: the message begins with the place. Throws RangeError for sizes
 * that no figure is built with, a rate, scale or standing height that is not positive.
 *
 * - Line-up: the scale of the first figure from `scale`, else `standing`, else its own bones; others by
 *   their feet under the horizon where one is given, else by their own bones, or as the first.
 * - Depth is assumed: bones shorter than they are lean the way people bend; hips and shoulders turn by
 *   their breadth. There are no points of heel, toe and hand, so the base is a guess (the feet near the
 *   floor) until a person sets it.
 */
export function readKeypoints(text: string, options: KeypointOptions): KeypointsRead {
  const { lineUp = {}, rate = DEFAULT_RATE } = options;
  checkSizes(options);
  for (const [what, value] of [
    ['Pictures a second', rate],
    ['Metres a pixel', lineUp.scale ?? 1],
    ['The standing height in pixels', lineUp.standing ?? 1],
  ] as const) {
    if (!(value > 0 && value < 1e6)) throw new RangeError(`${what} must lie above 0, got ${value}`);
  }
  const read = readKeypointFile(text, options.lowScore ?? LOW_SCORE);
  if (!read.ok) return read;
  return fitAll(read.file, options);
}

function fitAll(file: KeypointFile, options: KeypointOptions): KeypointsRead {
  const { lineUp = {}, people: settings = {}, rate = DEFAULT_RATE } = options;
  const tilt = tiltOf(lineUp);
  const tracked = trackPeople(file.frames);
  const sizes = {
    stature: options.stature ?? ASSUMED_STATURE,
    mass: options.mass,
    table: options.table,
  };
  const ownOf = (id: string): PersonSettings => settings[id] ?? {};
  for (const { id } of tracked) checkSizes({ ...sizes, ...ownOf(id) });
  const scales = scalesOf(tracked, lineUp, tilt, (person) =>
    bodyOf({ ...sizes, settings: ownOf(person.id) }),
  );
  const fitted = tracked.flatMap((person, i): FittedPerson[] => {
    const found = scales[i];
    if (!found) return [];
    const name = tracked.length === 1 ? (options.name ?? 'Person') : `Person ${i + 1}`;
    const own = ownOf(person.id);
    const one = fitPerson(person, { ...sizes, settings: own, scale: found.scale, tilt, name });
    return one.frames.some((frame) => frame !== null) ? [one] : [];
  });
  if (fitted.length === 0) {
    const [first] = file.frames.flat();
    return {
      ok: false,
      message: `${first?.place ?? 'the file'}.keypoints: no figure can be fitted: a hip and a shoulder with their points are needed`,
    };
  }
  const people = fitted.map((person): PersonReport => {
    const at = tracked.findIndex(({ id }) => id === person.id);
    const found = scales[at] as FoundScale;
    return { ...found, id: person.id, fitted: person };
  });
  const unfitted = file.frames.flat().length - countFitted(fitted);
  const frameCount = file.frames.length;
  const inside = (frame: number): number =>
    Math.min(frameCount - 1, Math.max(0, Math.round(frame)));
  const baseGiven = (id: string): boolean =>
    fitted.some((person) => person.id === id && person.baseGiven);
  return {
    ok: true,
    clip: {
      name: options.name ?? 'Picture',
      rate,
      frameCount,
      report: reportOf({
        ...{ file, people, tilt, unfitted, options },
        assumedRate: options.rate === undefined,
        assumedStature: options.stature === undefined,
      }),
      sceneAt: (frame) => ({
        figures: fitted.flatMap(({ frames }) => frames[inside(frame)]?.figure ?? []),
        loads: [],
        surfaces: [floorSurface()],
        grips: [],
      }),
      doubtsAt: (frame) => fitted.flatMap(({ frames }) => frames[inside(frame)]?.doubts ?? []),
      judge: (reading) =>
        judgeInPicture(
          reading,
          'members' in reading ? reading.members.every(baseGiven) : baseGiven(reading.figure),
        ),
    },
  };
}

const countFitted = (fitted: readonly FittedPerson[]): number =>
  fitted.reduce((sum, { frames }) => sum + frames.filter((frame) => frame !== null).length, 0);

export interface FoundScale {
  /** Metres a pixel. */
  readonly scale: number;
  readonly scaleFrom: 'given' | 'standing' | 'person' | 'bones' | 'horizon' | 'first';
}

function scalesOf(
  tracked: readonly TrackedPerson[],
  lineUp: LineUp,
  tilt: number,
  bodyFor: (person: TrackedPerson) => ReturnType<typeof bodyOf>,
): (FoundScale | null)[] {
  const [first] = tracked;
  if (!first) return [];
  const horizon = horizonHeight(lineUp, tilt);
  const dropOf = ({ frames }: TrackedPerson): number | null => {
    if (horizon === null) return null;
    const feet = frames.flatMap((person) => (person ? (lowestAnkle(person, tilt) ?? []) : []));
    return feet.length === 0 ? null : horizon - median(feet);
  };
  const firstDrop = dropOf(first);
  const own = firstScale(first, lineUp, tilt, { drop: firstDrop, body: bodyFor(first) });
  return tracked.map((person, i): FoundScale | null => {
    if (i === 0) return own;
    const drop = dropOf(person);
    if (own && firstDrop !== null && drop !== null) {
      const scale = scaleByDrop({ scale: own.scale, drop: firstDrop }, drop);
      if (scale !== null) return { scale, scaleFrom: 'horizon' };
    }
    // A scale that was given holds for the picture; one from bones is each one's own.
    if (own && own.scaleFrom !== 'bones') return { scale: own.scale, scaleFrom: 'first' };
    const scale = scaleByBones(person, bodyFor(person), tilt);
    return scale === null ? null : { scale, scaleFrom: 'bones' };
  });
}

function firstScale(
  first: TrackedPerson,
  lineUp: LineUp,
  tilt: number,
  { drop, body }: { readonly drop: number | null; readonly body: ReturnType<typeof bodyOf> },
): FoundScale | null {
  const { scale, standing } = lineUp;
  if (scale !== undefined) return { scale, scaleFrom: 'given' };
  if (standing !== undefined) return { scale: body.spec.stature / standing, scaleFrom: 'standing' };
  const byPerson = scaleByPerson(lineUp, tilt, drop);
  if (byPerson !== null) return { scale: byPerson, scaleFrom: 'person' };
  const found = scaleByBones(first, body, tilt);
  return found === null ? null : { scale: found, scaleFrom: 'bones' };
}
