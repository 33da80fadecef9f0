import { generateKeyBetween } from 'fractional-indexing';
import type * as Y from 'yjs';
import { PATCHES } from '../body/types.ts';
import type { Figure, Grip, Load, Scene, Surface } from '../scene/types.ts';
import { castMap } from './cast.ts';
import { type ClipLink, readClipLink } from './clip-link.ts';
import { asNumber, asOneOf, asText } from './decode.ts';
import { keyFields, keyKey, type StoredKey, touchKey } from './keys.ts';
import {
  figureFields,
  figureKey,
  gripFields,
  gripKey,
  loadFields,
  loadKey,
  readSceneEntries,
  surfaceFields,
  surfaceKey,
} from './scene-entries.ts';
import { SEALED_FIELD } from './seals.ts';
import { dropRow, putRow, type Row, readRows, SEPARATOR } from './table.ts';

/**
 * The `scenes` document of a review: sequences, shots, drafts, and one root map per draft with its
 * scene. Root names: `meta`, `sequences`, `shots`, `drafts`, `cast` (cast.ts), `draft:ID`.
 * Reading gives plain objects; writing is the verbs below, each one transaction with an origin that
 * tells whose undo it belongs to.
 */
export const SCHEMA_VERSION = 1;

export const SHOT_STATES = ['in-work', 'for-review', 'retake', 'signed-off'] as const;
export type ShotState = (typeof SHOT_STATES)[number];

export interface Sequence {
  readonly id: string;
  readonly title: string;
  /** Fractional index: sort by it as text. */
  readonly order: string;
}

export interface Shot {
  readonly id: string;
  readonly sequence: string;
  readonly order: string;
  readonly code: string;
  readonly title: string;
  readonly state: ShotState;
  /** Frames per second. */
  readonly rate: number;
  /** First and last frame number, inclusive. */
  readonly frames: readonly [first: number, last: number];
  /** Who has it: a person's id, or a name of somebody who is not in the review (shot-terms.ts). */
  readonly assigned: string | null;
  /** The day it is due, `YYYY-MM-DD`. */
  readonly due: string | null;
}

export interface Draft {
  readonly id: string;
  readonly shot: string;
  /** 1, 2, 3 in the order of making. */
  readonly number: number;
  /** The draft it came from, or null for the first. */
  readonly from: string | null;
  /** What changed, in a few words. */
  readonly title: string;
  /** What it tries and why, as long as it needs to be. */
  readonly words: string;
  readonly clip: ClipLink | null;
  /** Nobody may change it until a lead unseals it (seals.ts). */
  readonly sealed: boolean;
}

const root = (doc: Y.Doc, name: string): Y.Map<unknown> => doc.getMap<unknown>(name);

/** The root map that holds one draft's scene. Observe this one to follow a draft. */
export const draftEntries = (doc: Y.Doc, draft: string): Y.Map<unknown> =>
  root(doc, `draft:${draft}`);

/** The root maps that hold the board. Observe these to follow it. */
export const boardMaps = (doc: Y.Doc): readonly Y.Map<unknown>[] =>
  ['meta', 'sequences', 'shots', 'drafts'].map((name) => root(doc, name));

const byOrder = (a: { order: string; id: string }, b: { order: string; id: string }): number =>
  a.order < b.order ? -1 : a.order > b.order ? 1 : a.id < b.id ? -1 : 1;

export const readTitle = (doc: Y.Doc): string => asText(root(doc, 'meta').get('title')) ?? 'Review';

/** Sequences in board order. */
export function readSequences(doc: Y.Doc): Sequence[] {
  return [...readRows(root(doc, 'sequences')).values()]
    .map(({ id, fields }) => ({
      id,
      title: asText(fields.get('title')) ?? 'Sequence',
      order: asText(fields.get('order')) ?? 'a0',
    }))
    .sort(byOrder);
}

/** Shots in board order within their sequence. */
export function readShots(doc: Y.Doc): Shot[] {
  return [...readRows(root(doc, 'shots')).values()].map(toShot).sort(byOrder);
}

function toShot({ id, fields }: Row): Shot {
  const frames = fields.get('frames');
  const [first, last] = Array.isArray(frames) ? frames.map(asNumber) : [];
  return {
    id,
    sequence: asText(fields.get('sequence')) ?? '',
    order: asText(fields.get('order')) ?? 'a0',
    code: asText(fields.get('code')) ?? id,
    title: asText(fields.get('title')) ?? '',
    state: asOneOf(fields.get('state'), SHOT_STATES) ?? 'in-work',
    rate: asNumber(fields.get('rate')) ?? 24,
    frames: [first ?? 1, last ?? 1],
    assigned: asText(fields.get('assigned')) || null,
    due: asText(fields.get('due')) || null,
  };
}

/** Drafts by number; `shot` narrows to one shot. The last one is the current draft. */
export function readDrafts(doc: Y.Doc, shot?: string): Draft[] {
  return [...readRows(root(doc, 'drafts')).values()]
    .map(toDraft)
    .filter((draft) => shot === undefined || draft.shot === shot)
    .sort((a, b) => a.number - b.number || (a.id < b.id ? -1 : 1));
}

/** One draft by id, without reading the others; null when it is not there. */
export function readDraft(doc: Y.Doc, id: string): Draft | null {
  const drafts = root(doc, 'drafts');
  if (!drafts.has(id)) return null;
  const fields = ['shot', 'number', 'from', 'title', 'words', 'clip', SEALED_FIELD].map(
    (field) => [field, drafts.get(id + SEPARATOR + field)] as const,
  );
  return toDraft({ id, fields: new Map(fields) });
}

function toDraft({ id, fields }: Row): Draft {
  return {
    id,
    shot: asText(fields.get('shot')) ?? '',
    number: asNumber(fields.get('number')) ?? 1,
    from: asText(fields.get('from')),
    title: asText(fields.get('title')) ?? '',
    words: asText(fields.get('words')) ?? '',
    sealed: fields.get(SEALED_FIELD) === true,
    clip: readClipLink(fields.get('clip')),
  };
}

/** Sets how the file of a draft's clip is read, for everybody in the review. */
export function setClip(doc: Y.Doc, draft: string, clip: ClipLink, origin: unknown): void {
  doc.transact(() => root(doc, 'drafts').set(`${draft}${SEPARATOR}clip`, clip), origin);
}

/** The plain scene of a draft, ready for `assess`. */
export function readScene(doc: Y.Doc, draft: string): Scene {
  return readSceneEntries(draftEntries(doc, draft), castMap(doc));
}

export function setReviewTitle(doc: Y.Doc, title: string, origin: unknown): void {
  doc.transact(() => {
    root(doc, 'meta').set('schemaVersion', SCHEMA_VERSION);
    root(doc, 'meta').set('title', title);
  }, origin);
}

/** Adds or updates a sequence. */
export function putSequence(doc: Y.Doc, sequence: Sequence, origin: unknown): void {
  const { id, ...fields } = sequence;
  doc.transact(() => putRow(root(doc, 'sequences'), id, fields), origin);
}

/** Adds a shot, or sets some fields of one that is there. */
export function putShot(
  doc: Y.Doc,
  shot: Pick<Shot, 'id'> & Partial<Omit<Shot, 'id'>>,
  origin: unknown,
): void {
  const { id, ...fields } = shot;
  doc.transact(() => putRow(root(doc, 'shots'), id, fields), origin);
}

/** Removes a shot from the board with its drafts. Undo brings all of it back. */
export function removeShot(doc: Y.Doc, shot: string, origin: unknown): void {
  doc.transact(() => {
    for (const draft of readDrafts(doc, shot)) {
      dropRow(root(doc, 'drafts'), draft.id);
      draftEntries(doc, draft.id).clear();
    }
    dropRow(root(doc, 'shots'), shot);
  }, origin);
}

/** Removes a sequence that has no shots; shots of a removed sequence would be off the board. */
export function removeSequence(doc: Y.Doc, sequence: string, origin: unknown): void {
  if (readShots(doc).some((shot) => shot.sequence === sequence)) {
    throw new RangeError('this sequence still has shots; move or remove them first');
  }
  doc.transact(() => dropRow(root(doc, 'sequences'), sequence), origin);
}

/** An order key between two neighbours; null stands for the end of the row. */
export function orderBetween(before: string | null, after: string | null): string {
  // Two people who insert at the same place get the same key: then there is no key between them, and
  // the later one is placed just behind instead (ids break the tie when sorting).
  if (before !== null && after !== null && before >= after) return generateKeyBetween(before, null);
  return generateKeyBetween(before, after);
}

/** Adds a draft with a scene. Returns its number. */
export function addDraft(
  doc: Y.Doc,
  draft: Omit<Draft, 'number' | 'words' | 'clip' | 'sealed'> & {
    words?: string;
    clip?: ClipLink | null;
  },
  scene: Scene,
  origin: unknown,
): number {
  const last = readDrafts(doc, draft.shot).at(-1);
  const number = (last?.number ?? 0) + 1;
  const { id, clip, ...fields } = draft;
  doc.transact(() => {
    putRow(root(doc, 'drafts'), id, { ...fields, number, ...(clip ? { clip } : {}) });
    writeScene(draftEntries(doc, id), scene);
  }, origin);
  return number;
}

export function setDraftTitle(doc: Y.Doc, draft: string, title: string, origin: unknown): void {
  doc.transact(() => root(doc, 'drafts').set(`${draft}${SEPARATOR}title`, title), origin);
}

/** Sets what a draft tries and why. */
export function setDraftWords(doc: Y.Doc, draft: string, words: string, origin: unknown): void {
  doc.transact(() => root(doc, 'drafts').set(`${draft}${SEPARATOR}words`, words), origin);
}

/**
 * Copies a draft, its clip, its pictures and its scene into a new one of `shot` (default: the same shot). `beside`:
 * the copy came from what its source came from, instead of from its source.
 */
export function copyDraft(
  doc: Y.Doc,
  source: Draft,
  target: { id: string; shot?: string; title: string; beside?: boolean },
  origin: unknown,
): number {
  const shot = target.shot ?? source.shot;
  const own = target.beside === true ? source.from : source.id;
  const from = shot === source.shot ? own : null;
  const link = { id: target.id, shot, from, title: target.title, clip: source.clip };
  let number = 0;
  doc.transact(() => {
    number = addDraft(doc, link, NOTHING, origin);
    const entries = draftEntries(doc, target.id);
    // Entry by entry: what moves in it comes along, and what a newer page keeps there.
    for (const [key, value] of draftEntries(doc, source.id)) entries.set(key, value);
  }, origin);
  return number;
}

const NOTHING: Scene = { figures: [], loads: [], surfaces: [], grips: [] };

function writeScene(entries: Y.Map<unknown>, scene: Scene): void {
  for (const figure of scene.figures) putRow(entries, figureKey(figure.id), figureFields(figure));
  for (const load of scene.loads) putRow(entries, loadKey(load.id), loadFields(load));
  for (const surface of scene.surfaces)
    putRow(entries, surfaceKey(surface.id), surfaceFields(surface));
  for (const grip of scene.grips) putRow(entries, gripKey(grip.id), gripFields(grip));
}

/** One thing of a scene, to be added or replaced whole. */
export type Thing =
  | { readonly kind: 'figure'; readonly value: Figure }
  | { readonly kind: 'load'; readonly value: Load }
  | { readonly kind: 'surface'; readonly value: Surface }
  | { readonly kind: 'grip'; readonly value: Grip };

export function putThing(doc: Y.Doc, draft: string, thing: Thing, origin: unknown): void {
  const scene: Scene = { figures: [], loads: [], surfaces: [], grips: [] };
  const lists = { figure: 'figures', load: 'loads', surface: 'surfaces', grip: 'grips' } as const;
  doc.transact(
    () => writeScene(draftEntries(doc, draft), { ...scene, [lists[thing.kind]]: [thing.value] }),
    origin,
  );
}

/** Removes a thing; what hung on it (loads in the hands, grips) goes with it. */
export function removeThing(
  doc: Y.Doc,
  draft: string,
  kind: Thing['kind'],
  id: string,
  origin: unknown,
): void {
  const entries = draftEntries(doc, draft);
  const scene = readScene(doc, draft);
  doc.transact(() => {
    dropRow(entries, `${kind}${SEPARATOR}${id}`);
    if (kind === 'figure') dropMotion(entries, id);
    for (const load of scene.loads) {
      if (kind === 'figure' && load.place.kind !== 'standing' && load.place.figure === id)
        dropRow(entries, loadKey(load.id));
    }
    for (const grip of scene.grips) {
      const touches = [grip.a, grip.b].some((end) =>
        end.kind === 'figure'
          ? kind === 'figure' && end.figure === id
          : kind === 'load' && end.load === id,
      );
      if (touches) dropRow(entries, gripKey(grip.id));
    }
  }, origin);
}

/** Adds keys to a draft, or replaces those of the same id. */
export function putKeys(
  doc: Y.Doc,
  draft: string,
  keys: readonly StoredKey[],
  origin: unknown,
): void {
  const entries = draftEntries(doc, draft);
  doc.transact(() => {
    for (const key of keys) putRow(entries, keyKey(key.id), keyFields(key));
  }, origin);
}

/** What moves in a draft: keys, contacts over time, frames between which a thing is there. */
const MOTION = /^(key|touch)\/|\/span$/;

/** Copies what moves in one draft into another, e.g. of another document. */
export function copyMotion(from: Y.Map<unknown>, to: Y.Map<unknown>): void {
  for (const [key, value] of from) if (MOTION.test(key)) to.set(key, value);
}

/** Removes the keys of a figure and what was set of its contacts over time. */
function dropMotion(entries: Y.Map<unknown>, figure: string): void {
  for (const { id, fields } of readRows(entries, 'key').values()) {
    if (fields.get('figure') === figure) dropRow(entries, keyKey(id));
  }
  for (const patch of PATCHES) dropRow(entries, touchKey(figure, patch));
}

/**
 * Sets entries of a draft by key (see scene-entries.ts) in one transaction: the end of a drag, a
 * typed value. Undefined removes the entry. Entries that already have the value are not written.
 */
export function setEntries(
  doc: Y.Doc,
  draft: string,
  patch: Readonly<Record<string, unknown>>,
  origin: unknown,
): void {
  const entries = draftEntries(doc, draft);
  doc.transact(() => {
    for (const [key, value] of Object.entries(patch)) {
      if (value === undefined) entries.delete(key);
      else if (JSON.stringify(entries.get(key)) !== JSON.stringify(value)) entries.set(key, value);
    }
  }, origin);
}
