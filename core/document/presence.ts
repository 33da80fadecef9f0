import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';

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
}

/** A pointer in scene space (elevation) or in plan, so that it lies on the same thing in every window. */
export interface Cursor {
  readonly view: 'elevation' | 'plan';
  readonly point: readonly [number, number, number];
}

export interface Drag {
  readonly draft: string;
  readonly entries: Readonly<Record<string, unknown>>;
}

/** Reads another client's awareness state; null if it is not one of ours. */
export function readPresence(state: unknown): Presence | null {
  const fields = asRecord(state);
  const person = asText(fields?.person);
  if (fields === null || person === null) return null;
  const cursor = asRecord(fields.cursor);
  const view = asOneOf(cursor?.view, ['elevation', 'plan'] as const);
  const point = asVec3(cursor?.point);
  const drag = asRecord(fields.drag);
  const dragDraft = asText(drag?.draft);
  const entries = asRecord(drag?.entries);
  return {
    person,
    name: asText(fields.name) ?? 'Someone',
    ink: asNumber(fields.ink) ?? 0,
    shot: asText(fields.shot),
    draft: asText(fields.draft),
    frame: asNumber(fields.frame),
    cursor: view && point ? { view, point } : null,
    selection: asText(fields.selection),
    drag: dragDraft && entries ? { draft: dragDraft, entries } : null,
  };
}
