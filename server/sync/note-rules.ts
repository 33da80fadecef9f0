import type * as Y from 'yjs';
import { readState, SHARED_NOTE_FIELDS, shotKey, tellsReading } from '../../core/document/notes.ts';
import { SEPARATOR } from '../../core/document/table.ts';
import type { Role } from '../../core/protocol/index.ts';
import type { Touch } from './touched.ts';

const ROOTS: readonly string[] = ['notes', 'replies', 'marks'];

// Values of removed notes that are remembered, the oldest forgotten first.
const MAX_REMEMBERED = 4000;

/**
 * The words of notes that a lead has removed, as long as the room is in memory: a removal that is
 * undone may bring back just these, so that nobody can put other words under the author's name.
 */
export class RemovedWords {
  readonly #values = new Map<string, string>();

  remember({ root, key }: Touch, value: unknown): void {
    this.#values.set(`${root}\n${key}`, JSON.stringify(value));
    if (this.#values.size <= MAX_REMEMBERED) return;
    for (const oldest of this.#values.keys()) {
      this.#values.delete(oldest);
      return;
    }
  }

  fits({ root, key, value }: Touch): boolean {
    const was = this.#values.get(`${root}\n${key}`);
    return was !== undefined && was === JSON.stringify(value);
  }
}

export interface NoteContext {
  readonly doc: Y.Doc;
  readonly person: string;
  readonly role: Role;
  /** Who wrote the note or reply of this id; null if there was never one. */
  readonly ownerOf: (row: string) => string | null;
  readonly removed: RemovedWords;
  /** Whether the readings of a shot are hidden for a call. */
  readonly isHidden: (shot: string) => boolean;
}

/**
 * Why changes of the `notes` document cannot be taken; null if they can. A note, a reply and a mark are
 * their author's; everybody who may write notes may set a note's state and who is asked; a lead may remove
 * notes, replies and marks whole, and undo that. While a call is open, no note brings readings of its shot.
 */
export function refusesNotes(touches: readonly Touch[], context: NoteContext): string | null {
  const { doc, person, role, ownerOf, removed } = context;
  const gone = new Set(
    touches.filter(({ kind, key }) => kind === 'delete' && !key.includes(SEPARATOR)).map(entryOf),
  );
  const lost: Touch[] = [];
  for (const touch of touches) {
    const { root, key, kind } = touch;
    if (!ROOTS.includes(root)) return 'there is no such part of the notes';
    const [row = '', field] = key.split(SEPARATOR);
    if (root === 'notes' && SHARED_NOTE_FIELDS.includes(field ?? '')) {
      if (kind === 'set' && field === 'state' && readState(touch.value) === null) {
        return 'a note that is kept on purpose says why';
      }
      continue;
    }
    if (root === 'notes' && kind !== 'delete' && tellsReading(field, touch.value)) {
      const place = touches.find((other) => other.root === root && other.key === shotKey(row));
      const shot = place?.value ?? doc.getMap(root).get(shotKey(row));
      if (typeof shot === 'string' && context.isHidden(shot)) {
        return 'the readings of this shot are hidden until its call is shown';
      }
    }
    const owner = ownerOf(row);
    if (owner === null || owner === person) continue;
    if (role === 'lead') {
      const whole = gone.has(entryOf({ root, key: row })) || !doc.getMap(root).has(row);
      if (kind === 'passing' && whole) continue;
      if (kind === 'delete' && whole) {
        lost.push(touch);
        continue;
      }
      if (kind === 'set' && removed.fits(touch)) continue;
    }
    return root === 'marks'
      ? 'a mark is rubbed out by whoever drew it'
      : 'a note is changed by its author alone';
  }
  for (const touch of lost) removed.remember(touch, doc.getMap(touch.root).get(touch.key));
  return null;
}

const entryOf = ({ root, key }: { root: string; key: string }): string => `${root}\n${key}`;
