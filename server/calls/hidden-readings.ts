import * as Y from 'yjs';
import { dropOpenCalls, readCalls } from '../../core/document/calls.ts';
import { asRecord } from '../../core/document/decode.ts';
import { tellingEntries } from '../../core/document/notes.ts';
import { recordMap } from '../../core/document/record.ts';
import { docsOf } from '../history/documents.ts';
import type { Documents } from '../storage/point-store.ts';

type Values = Readonly<Record<string, unknown>>;

/** Values that were taken out of the documents, by root and key, as they were. */
export interface Kept {
  readonly history?: Values;
  readonly seals?: Values;
  readonly decisions?: Values;
  /** Of the notes document; nothing in calls that were opened before notes were hidden. */
  readonly notes?: Values;
}

const RECORD_ROOTS = ['history', 'seals', 'decisions'] as const;

export interface Telling {
  readonly record: Y.Doc;
  readonly notes: Y.Doc;
}

/** What in record and notes tells how a shot and its drafts balance. */
export function readingsIn(
  { record, notes }: Telling,
  shot: string,
  drafts: readonly string[],
): Required<Kept> {
  const ofDrafts = (root: 'history' | 'seals'): Values =>
    Object.fromEntries(
      drafts.flatMap((draft) => {
        const value = recordMap(record, root).get(draft);
        return value === undefined ? [] : [[draft, value]];
      }),
    );
  const decisions: Record<string, unknown> = {};
  for (const [id, value] of recordMap(record, 'decisions').entries()) {
    const fields = asRecord(value);
    if (fields?.shot === shot && fields.reading != null) decisions[id] = value;
  }
  return {
    ...{ history: ofDrafts('history'), seals: ofDrafts('seals'), decisions },
    notes: tellingEntries(notes, shot),
  };
}

/** Takes readings out of a record: settled ones and those of seals whole, of a decision the reading alone. */
export function takeOutOfRecord(record: Y.Doc, kept: Kept): void {
  for (const root of ['history', 'seals'] as const) {
    for (const draft of Object.keys(kept[root] ?? {})) recordMap(record, root).delete(draft);
  }
  for (const [id, value] of Object.entries(kept.decisions ?? {})) {
    recordMap(record, 'decisions').set(id, { ...asRecord(value), reading: null });
  }
}

export function putBackInRecord(record: Y.Doc, kept: Kept): void {
  for (const root of RECORD_ROOTS) putAll(recordMap(record, root), kept[root]);
}

export const merged = (kept: Kept, more: Kept): Kept => ({
  ...kept,
  ...Object.fromEntries(
    Object.entries(more).map(([root, values]) => [
      root,
      { ...kept[root as keyof Kept], ...values },
    ]),
  ),
});

export function takeOutOfNotes(notes: Y.Doc, { notes: kept = {} }: Kept): void {
  for (const key of Object.keys(kept)) notes.getMap('notes').delete(key);
}

/** Also of a note that was removed meanwhile: undoing that brings it back whole. */
export const putBackInNotes = (notes: Y.Doc, kept: Kept): void =>
  putAll(notes.getMap('notes'), kept.notes);

/**
 * The documents of a review as if no call were open: with the readings that were taken out for those
 * that are.
 */
export function withReadings(documents: Documents, keptOf: (call: string) => Kept): Documents {
  const { scenes, notes, record } = docsOf(documents);
  const open = readCalls(record).filter(({ state }) => state === 'open');
  if (open.length === 0) return documents;
  for (const { id } of open) {
    putBackInRecord(record, keptOf(id));
    putBackInNotes(notes, keptOf(id));
  }
  dropOpenCalls(record);
  const state = Y.encodeStateAsUpdate;
  return { scenes: state(scenes), notes: state(notes), record: state(record) };
}

function putAll(map: Y.Map<unknown>, values: Values = {}): void {
  for (const [key, value] of Object.entries(values)) map.set(key, value);
}
