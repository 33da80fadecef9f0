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
  readonly whatIf: WhatIf | null;
  /** Id of somebody's what-if that a lead ends: its own window puts it away, all others at once. */
  readonly ends: string | null;
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
    whatIf: readWhatIf(fields.whatIf),
    ends: asText(fields.ends),
  };
}
