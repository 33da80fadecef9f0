import {
  addDraft,
  applyState,
  type ClipLink,
  copyDraft,
  type Draft,
  isCalled,
  orderBetween,
  putSequence,
  putShot,
  readDrafts,
  readSequences,
  readShots,
  removeSequence,
  removeShot,
  type Sequence,
  SHOT_STATES,
  type Shot,
  sealDraft,
  stateWord,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import type { Session } from '../session/index.ts';

/**
 * What a person can do to the board, each one step of their undo. Everything here is refused by the
 * session (with a sentence) for roles that may not.
 */

export const newId = (): string => crypto.randomUUID();

/** Adds a sequence at the end; gives its id. */
export function addSequence(session: Session, title: string): string {
  const id = newId();
  const last = readSequences(session.documents.scenes).at(-1);
  session.edit('scenes', `added the sequence ${title}`, (doc, origin) =>
    putSequence(doc, { id, title, order: orderBetween(last?.order ?? null, null) }, origin),
  );
  return id;
}

export function renameSequence(session: Session, sequence: Sequence, title: string): void {
  session.edit('scenes', `renamed the sequence ${sequence.title} to ${title}`, (doc, origin) =>
    putSequence(doc, { ...sequence, title }, origin),
  );
}

/** Moves a sequence one row up (-1) or down (1). */
export function moveSequence(session: Session, sequence: Sequence, by: -1 | 1): void {
  const rows = readSequences(session.documents.scenes).filter(({ id }) => id !== sequence.id);
  const all = readSequences(session.documents.scenes);
  const at = all.findIndex(({ id }) => id === sequence.id) + by;
  if (at < 0 || at >= all.length) return;
  const order = orderBetween(rows[at - 1]?.order ?? null, rows[at]?.order ?? null);
  session.edit('scenes', `moved the sequence ${sequence.title}`, (doc, origin) =>
    putSequence(doc, { ...sequence, order }, origin),
  );
}

export function dropSequence(session: Session, sequence: Sequence): void {
  session.edit('scenes', `removed the sequence ${sequence.title}`, (doc, origin) =>
    removeSequence(doc, sequence.id, origin),
  );
}

/** A code for the next shot of a sequence: ten above the last, or the title's letters and 0010. */
export function nextCode(shots: readonly Shot[], sequence: Sequence): string {
  const last = shots.filter((shot) => shot.sequence === sequence.id).at(-1)?.code ?? '';
  const [, head, digits] = /^(.*?)(\d+)$/.exec(last) ?? [];
  if (head !== undefined && digits !== undefined) {
    const next = (Math.floor(Number(digits) / 10) + 1) * 10;
    return head + String(next).padStart(digits.length, '0');
  }
  const letters = sequence.title.replace(/[^\p{L}]/gu, '').slice(0, 3);
  return `${(letters || 'SHT').toUpperCase()}-0010`;
}

export interface NewShot {
  readonly sequence: string;
  readonly code: string;
  readonly title: string;
  readonly rate?: number;
  readonly frames?: readonly [first: number, last: number];
  readonly scene: Scene;
  readonly clip?: ClipLink;
  readonly draftTitle: string;
}

/** Adds a shot with its first draft at the end of a sequence; gives its id. */
export function addShot(session: Session, shot: NewShot): string {
  const id = newId();
  const row = readShots(session.documents.scenes).filter((s) => s.sequence === shot.sequence);
  session.edit('scenes', `added the shot ${shot.code}`, (doc, origin) => {
    putShot(
      doc,
      {
        id,
        sequence: shot.sequence,
        order: orderBetween(row.at(-1)?.order ?? null, null),
        code: shot.code,
        title: shot.title,
        state: 'in-work',
        rate: shot.rate ?? 24,
        frames: shot.frames ?? [1, 1],
      },
      origin,
    );
    const draft = { id: newId(), shot: id, from: null, title: shot.draftTitle };
    addDraft(doc, shot.clip ? { ...draft, clip: shot.clip } : draft, shot.scene, origin);
  });
  return id;
}

/** Puts a copy of a shot, with its current draft only, right behind it; gives its id. */
export function duplicateShot(session: Session, shot: Shot): string {
  const id = newId();
  const shots = readShots(session.documents.scenes);
  const row = shots.filter(({ sequence }) => sequence === shot.sequence);
  const after = row[row.findIndex((other) => other.id === shot.id) + 1];
  session.edit('scenes', `duplicated the shot ${shot.code}`, (doc, origin) => {
    const order = orderBetween(shot.order, after?.order ?? null);
    const code = freeCode(shots, shot.code);
    putShot(doc, { ...shot, id, order, code, state: 'in-work' }, origin);
    const draft = readDrafts(doc, shot.id).at(-1);
    if (draft) copyDraft(doc, draft, { id: newId(), shot: id, title: draft.title }, origin);
  });
  return id;
}

function freeCode(shots: readonly Shot[], code: string): string {
  const taken = new Set(shots.map((shot) => shot.code));
  for (let copy = 2; ; copy++) {
    const candidate = `${code}-${copy}`;
    if (!taken.has(candidate)) return candidate;
  }
}

export function renameShot(session: Session, shot: Shot, code: string, title: string): void {
  session.edit('scenes', `renamed the shot ${shot.code} to ${code}`, (doc, origin) =>
    putShot(doc, { id: shot.id, code, title }, origin),
  );
}

/**
 * Sets the state of a shot.
 * @param draft the draft that the state is about
 * @returns the draft that a retake opened; null where none was needed
 */
export function setShotState(
  session: Session,
  shot: Shot,
  state: Shot['state'],
  draft: string | null,
): string | null {
  let retake: string | null = null;
  if (draft !== null && !maySeal(session, shot.code, state, draft)) return null;
  session.edit('scenes', `set ${shot.code} to ${stateWord(state)}`, (doc, origin) => {
    retake = applyState(doc, { shot: shot.id, state, draft, newId }, origin);
  });
  return retake;
}

/** Signing off seals: while a call is open on the draft it cannot be, and that is said. */
export function maySeal(
  session: Session,
  code: string,
  state: Shot['state'],
  draft: string,
): boolean {
  if (state !== 'signed-off' || !isCalled(session.documents.record, draft)) return true;
  session.say(`${code} is not signed off: a call is open on it. Show the call first.`);
  return false;
}

/** Seals a draft, or takes its seal away; for the lead. */
export function setSealed(session: Session, draft: Draft, sealed: boolean): void {
  if (isCalled(session.documents.record, draft.id)) {
    session.say(`Draft ${draft.number} is called now. Show the call first.`);
    return;
  }
  session.edit('scenes', `${sealed ? 'sealed' : 'unsealed'} draft ${draft.number}`, (doc, origin) =>
    sealDraft(doc, draft.id, sealed, origin),
  );
}

export function dropShot(session: Session, shot: Shot): void {
  const drafts = readDrafts(session.documents.scenes, shot.id);
  const called = drafts.find(({ id }) => isCalled(session.documents.record, id));
  if (called) {
    session.say(`${shot.code} stays: a call is open on its draft ${called.number}.`);
    return;
  }
  const sealed = drafts.find((draft) => draft.sealed);
  if (sealed) {
    session.say(`${shot.code} stays: its draft ${sealed.number} is sealed. A lead can unseal it.`);
    return;
  }
  session.edit('scenes', `removed the shot ${shot.code}`, (doc, origin) =>
    removeShot(doc, shot.id, origin),
  );
  session.say(`${shot.code} is off the board. Undo brings it back with its drafts.`);
}

/**
 * Copies a draft into a new one of the same shot; gives the new draft's id.
 * @param beside the new draft stands beside its source, as another try at the same thing
 */
export function newDraft(
  session: Session,
  shot: Shot,
  source: string,
  { title = '', beside = false } = {},
): string | null {
  const draft = readDrafts(session.documents.scenes, shot.id).find(({ id }) => id === source);
  if (!draft) return null;
  const id = newId();
  session.edit('scenes', `made a new draft of ${shot.code}`, (doc, origin) =>
    copyDraft(doc, draft, { id, title, beside }, origin),
  );
  return id;
}

/** Places a shot in a sequence before another shot, or at its end. */
export function placeShot(
  session: Session,
  shot: Shot,
  sequence: string,
  before: string | null,
): void {
  if (before === shot.id) return;
  const row = readShots(session.documents.scenes).filter(
    (other) => other.sequence === sequence && other.id !== shot.id,
  );
  const found = before === null ? -1 : row.findIndex(({ id }) => id === before);
  const at = found === -1 ? row.length : found;
  const order = orderBetween(row[at - 1]?.order ?? null, row[at]?.order ?? null);
  session.edit('scenes', `moved the shot ${shot.code}`, (doc, origin) =>
    putShot(doc, { id: shot.id, sequence, order }, origin),
  );
}

export type Direction = 'left' | 'right' | 'up' | 'down';

/** Moves a shot one place along its row, or to the same place in the row above or below. */
export function moveShot(session: Session, shot: Shot, direction: Direction): boolean {
  const doc = session.documents.scenes;
  const shots = readShots(doc);
  const row = shots.filter(({ sequence }) => sequence === shot.sequence);
  const at = row.findIndex(({ id }) => id === shot.id);
  if (direction === 'left') {
    const before = row[at - 1];
    if (before) placeShot(session, shot, shot.sequence, before.id);
    return before !== undefined;
  }
  if (direction === 'right') {
    if (at >= row.length - 1) return false;
    placeShot(session, shot, shot.sequence, row[at + 2]?.id ?? null);
    return true;
  }
  const rows = readSequences(doc);
  const here = rows.findIndex(({ id }) => id === shot.sequence);
  const target = rows[here + (direction === 'up' ? -1 : 1)];
  if (!target) return false;
  const there = shots.filter(({ sequence }) => sequence === target.id);
  placeShot(session, shot, target.id, there[at]?.id ?? null);
  return true;
}

/** The states that a person may give to a shot: signing off is the lead's. */
export function statesFor(session: Session, shot: Shot): readonly Shot['state'][] {
  return SHOT_STATES.filter(
    (state) => state !== 'signed-off' || session.me.role === 'lead' || shot.state === 'signed-off',
  );
}

export { stateWord } from '../../core/document/index.ts';
