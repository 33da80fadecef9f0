import { PATCHES, SEGMENTS, TABLES } from '../body/types.ts';
import {
  FACINGS,
  type JointCorrections,
  MOVING_FORMATS,
  type MovingFormat,
  type MovingSettings,
  type PersonSettings,
} from '../formats/index.ts';
import { asNumber, asOneOf, asRecord, asText, asVec2 } from './decode.ts';
import type { Picture } from './pictures.ts';

/** A file with frames that a draft plays: the file by content hash, and how it is read. */
export interface ClipLink {
  /** SHA-256 of the file, hex. */
  readonly file: string;
  readonly name: string;
  readonly format: MovingFormat;
  /** Stature given to the clip's figure, metres; null: as the file or its scale gives it. */
  readonly stature: number | null;
  /** Kilograms. */
  readonly mass: number;
  readonly table: string;
  /** Metres per unit of the file (keypoints: per pixel); null: from the stature or the file. */
  readonly scale: number | null;
  /** Frames a second as set by hand; null: as the file says. */
  readonly fps: number | null;
  /** Animation of a glTF file; null: the first that moves the figure. */
  readonly animation: string | null;
  /** Joints that a person set for segments. */
  readonly joints: JointCorrections;
  /** Keypoints: what is set for single people, by figure. */
  readonly people: Readonly<Record<string, PersonSettings>>;
  /** Keypoints: pixels that the first figure would be tall, and the lean of true up, radians. */
  readonly standing: number | null;
  readonly tilt: number | null;
  /** Keypoints: how their picture is lined up, pixels; null: it is not. */
  readonly camera: ClipCamera | null;
}

/** Horizon and a standing person of a picture whose points are read, as a reference picture has them. */
export type ClipCamera = Pick<Picture, 'horizon' | 'feet' | 'head' | 'stature'>;

/** A link as a person starts with it: a file, and nothing corrected. */
export const plainLink = (
  link: Pick<ClipLink, 'file' | 'name' | 'format' | 'stature' | 'mass' | 'table'>,
): ClipLink => ({
  ...{ scale: null, fps: null, animation: null, joints: {}, people: {} },
  ...{ standing: null, tilt: null, camera: null },
  ...link,
});

/**
 * Reads the stored value of a draft's clip; null without one. Links of earlier versions hold a BVH file
 * with stature, mass and table; what they lack is not corrected.
 */
export function readClipLink(value: unknown): ClipLink | null {
  const clip = asRecord(value);
  if (clip === null) return null;
  return {
    file: asText(clip.file) ?? '',
    name: asText(clip.name) ?? '',
    format: asOneOf(clip.format, MOVING_FORMATS) ?? 'bvh',
    stature: clip.stature === null ? null : (asNumber(clip.stature) ?? 1.7),
    mass: asNumber(clip.mass) ?? 70,
    table: asText(clip.table) ?? 'deleva-male',
    scale: asNumber(clip.scale),
    fps: asNumber(clip.fps),
    animation: asText(clip.animation),
    joints: readJoints(clip.joints),
    people: readPeopleSettings(clip.people),
    standing: asNumber(clip.standing),
    tilt: asNumber(clip.tilt),
    camera: readCamera(clip.camera),
  };
}

function readCamera(value: unknown): ClipCamera | null {
  const given = asRecord(value);
  const horizon = Array.isArray(given?.horizon) ? given.horizon.map(asVec2) : [];
  const [a, b] = horizon;
  const [feet, head] = [asVec2(given?.feet), asVec2(given?.head)];
  const stature = asNumber(given?.stature);
  if (!a || !b || feet === null || head === null || stature === null || !(stature > 0)) return null;
  return { horizon: [a, b], feet, head, stature };
}

function readJoints(value: unknown): JointCorrections {
  const given = asRecord(value) ?? {};
  return Object.fromEntries(
    SEGMENTS.flatMap((segment) => {
      const joint = given[segment];
      return joint === null || typeof joint === 'string' ? [[segment, joint] as const] : [];
    }),
  );
}

function readPeopleSettings(value: unknown): Readonly<Record<string, PersonSettings>> {
  return Object.fromEntries(
    Object.entries(asRecord(value) ?? {}).map(([id, given]) => [id, readPerson(given)]),
  );
}

function readPerson(value: unknown): PersonSettings {
  const given = asRecord(value);
  const stature = asNumber(given?.stature);
  const mass = asNumber(given?.mass);
  const facing = asOneOf(given?.facing, FACINGS);
  const base = Array.isArray(given?.base)
    ? PATCHES.filter((patch) => (given.base as unknown[]).includes(patch))
    : null;
  return {
    ...(stature === null ? {} : { stature }),
    ...(mass === null ? {} : { mass }),
    ...(facing === null ? {} : { facing }),
    ...(base === null ? {} : { base }),
  };
}

/** How the reader of the file is to be called for a link. */
export function clipSettings(link: ClipLink): MovingSettings {
  const { name, stature, mass, scale, fps, animation, joints, people, standing, tilt, camera } =
    link;
  return {
    mass,
    table: asOneOf(link.table, TABLES) ?? TABLES[0],
    ...(name === '' ? {} : { name }),
    ...(stature === null ? {} : { stature }),
    ...(scale === null ? {} : { scale }),
    ...(fps === null ? {} : { fps }),
    ...(animation === null ? {} : { animation }),
    ...(Object.keys(joints).length === 0 ? {} : { joints }),
    ...(Object.keys(people).length === 0 ? {} : { people }),
    lineUp: {
      ...(standing === null ? {} : { standing }),
      ...(tilt === null ? {} : { tilt }),
      ...(camera === null ? {} : lineUpOf(camera)),
    },
  };
}

const lineUpOf = ({ horizon, ...person }: ClipCamera) => ({ horizon, person });
