import type { Vec3 } from '../geometry/types.ts';
import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';
import { readStroke, type Stroke } from './marks.ts';

/**
 * What a person shows of themselves while they are here: awareness, never stored.
 * A drag that is under way is here too, as the draft's entries that it will set (scene-entries.ts),
 * so that everyone weighs the pose while it moves and the document keeps only the end.
 */
export interface Presence {
  readonly person: string;
  readonly name: string;
  readonly ink: number;
  /** Shot on the bench, or null on the board. */
  readonly shot: string | null;
  readonly draft: string | null;
  readonly frame: number | null;
  readonly cursor: Cursor | null;
  /** Selected thing, e.g. `figure/ID/footL`. */
  readonly selection: string | null;
  readonly drag: Drag | null;
  readonly whatIf: WhatIf | null;
  /** Id of somebody's what-if that a lead ends: its own window puts it away, all others at once. */
  readonly ends: string | null;
  /** How the bench is looked at; null on the board, and of somebody who goes with another. */
  readonly camera: Camera | null;
  /** The person that this one goes with; null: on their own. */
  readonly with: string | null;
  /** A lead asks everyone along: a number that is new each time; null: not asking. */
  readonly along: number | null;
  /** The hand is up since then, ms since 1970 by this person's own clock; null: it is down. */
  readonly hand: number | null;
  readonly ping: Ping | null;
  /** A mark that is being drawn; it is stored when the hand lifts. */
  readonly mark: Stroke | null;
}

export const CURSOR_VIEWS = ['elevation', 'plan'] as const;

/** A pointer in scene space (elevation) or in plan, so that it lies on the same thing in every window. */
export interface Cursor {
  readonly view: (typeof CURSOR_VIEWS)[number];
  readonly point: Vec3;
}

export const CAMERA_VIEWS = ['front', 'side', 'orbit', 'picture'] as const;

/**
 * How somebody looks at a scene, in scene space and free of their window's size: another window shows
 * at least what this one does.
 */
export interface Camera {
  readonly view: (typeof CAMERA_VIEWS)[number];
  /** What lies in the middle of the elevation, and across and down the middle of the plan, metres. */
  readonly target: Vec3;
  /** Metres seen across and up at the target. */
  readonly wide: number;
  readonly tall: number;
  /** Radians of the free camera: about the vertical (0: at the front), above the horizon. */
  readonly yaw: number;
  readonly pitch: number;
}

/** Somebody points at something, once. */
export interface Ping {
  /** One more each time that this window points. */
  readonly count: number;
  readonly view: Cursor['view'];
  readonly point: Vec3;
  /** What is pointed at, as in `selection`; null for the bare sheet. */
  readonly thing: string | null;
}

export interface Drag {
  readonly draft: string;
  readonly entries: Readonly<Record<string, unknown>>;
}

/**
 * "What if these grips let go": laid over everyone's view of a draft, never an edit. It ends when its
 * starter ends it or leaves, or when a lead ends it.
 */
export interface WhatIf {
  readonly id: string;
  readonly draft: string;
  /** Ids of the grips that open. */
  readonly open: readonly string[];
}

/** More grips than any scene should have; what goes beyond is passed over. */
const MAX_OPEN = 64;

function readWhatIf(value: unknown): WhatIf | null {
  const fields = asRecord(value);
  const [id, draft] = [asText(fields?.id), asText(fields?.draft)];
  const given: readonly unknown[] = Array.isArray(fields?.open) ? fields.open : [];
  const open = given.slice(0, MAX_OPEN).filter((grip) => typeof grip === 'string');
  return id === null || draft === null || open.length === 0 ? null : { id, draft, open };
}

/** Reads another client's awareness state; null if it is not one of ours. */
export function readPresence(state: unknown): Presence | null {
  const fields = asRecord(state);
  const person = asText(fields?.person);
  if (fields === null || person === null) return null;
  return {
    person,
    name: asText(fields.name) ?? 'Someone',
    ink: asNumber(fields.ink) ?? 0,
    shot: asText(fields.shot),
    draft: asText(fields.draft),
    frame: asNumber(fields.frame),
    cursor: readCursor(fields.cursor),
    selection: asText(fields.selection),
    drag: readDrag(fields.drag),
    whatIf: readWhatIf(fields.whatIf),
    ends: asText(fields.ends),
    camera: readCamera(fields.camera),
    with: asText(fields.with),
    along: asNumber(fields.along),
    hand: asNumber(fields.hand),
    ping: readPing(fields.ping),
    mark: readStroke(fields.mark),
  };
}

function readCursor(value: unknown): Cursor | null {
  const cursor = asRecord(value);
  const view = asOneOf(cursor?.view, CURSOR_VIEWS);
  const point = asPlace(cursor?.point);
  return view && point ? { view, point } : null;
}

function readDrag(value: unknown): Drag | null {
  const drag = asRecord(value);
  const draft = asText(drag?.draft);
  const entries = asRecord(drag?.entries);
  return draft && entries ? { draft, entries } : null;
}

function readCamera(value: unknown): Camera | null {
  const fields = asRecord(value);
  const view = asOneOf(fields?.view, CAMERA_VIEWS);
  const target = asPlace(fields?.target);
  const [wide, tall, yaw, pitch] = ['wide', 'tall', 'yaw', 'pitch'].map((name) =>
    asNumber(fields?.[name]),
  );
  if (!view || !target || wide == null || tall == null || yaw == null || pitch == null) return null;
  const within = wide > 0 && wide <= FAR && tall > 0 && tall <= FAR;
  const turned = Math.abs(yaw) <= MOST_TURNS && Math.abs(pitch) <= Math.PI / 2;
  return within && turned ? { view, target, wide, tall, yaw, pitch } : null;
}

function readPing(value: unknown): Ping | null {
  const fields = asRecord(value);
  const at = readCursor(value);
  const count = asNumber(fields?.count);
  return at === null || count === null ? null : { ...at, count, thing: asText(fields?.thing) };
}

/** Nothing of a scene lies farther from its origin, metres. */
const FAR = 10_000;
/** Radians: a camera that was turned round and round is still a camera. */
const MOST_TURNS = 10_000;
const LONGEST_TEXT = 200;

function asPlace(value: unknown): Vec3 | null {
  const point = asVec3(value);
  return point?.every((metres) => Math.abs(metres) <= FAR) ? point : null;
}

const isText = (value: unknown): boolean =>
  (asText(value)?.length ?? LONGEST_TEXT + 1) <= LONGEST_TEXT;
const isNumber = (value: unknown): boolean => asNumber(value) !== null;

/** What each field that a page shows must be where it is not null. */
const FITS: Readonly<Record<Exclude<keyof Presence, 'person'>, (value: unknown) => boolean>> = {
  name: isText,
  ink: isNumber,
  shot: isText,
  draft: isText,
  frame: isNumber,
  cursor: (value) => readCursor(value) !== null,
  selection: isText,
  drag: (value) => readDrag(value) !== null,
  whatIf: (value) => readWhatIf(value) !== null,
  ends: isText,
  mark: (value) => readStroke(value) !== null,
  camera: (value) => readCamera(value) !== null,
  with: isText,
  along: isNumber,
  hand: isNumber,
  ping: (value) => {
    const thing = asRecord(value)?.thing;
    return readPing(value) !== null && (thing == null || isText(thing));
  },
};

/** The first field of a state that is not what it must be; null: all are. Unknown fields are passed over. */
export function brokenField(state: Readonly<Record<string, unknown>>): string | null {
  for (const [field, fits] of Object.entries(FITS)) {
    const value = state[field];
    if (value != null && !fits(value)) return field;
  }
  return null;
}
