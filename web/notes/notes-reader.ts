import type { ReactiveController, ReactiveControllerHost } from 'lit';
import {
  type Note,
  noteMaps,
  type Person,
  readNotes,
  readPeople,
  readStamps,
  recordMap,
  type Stamp,
  withoutReadings,
} from '../../core/document/index.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Session } from '../session/index.ts';

interface Read {
  readonly notes: readonly Note[];
  readonly stamps: ReadonlyMap<string, Stamp>;
  readonly people: ReadonlyMap<string, Person>;
  readonly numbers: ReadonlyMap<string, number>;
}

/** The notes of a review with who wrote them and when, read again only after they have changed. */
export class NotesReader implements ReactiveController {
  readonly #session: () => Session;
  #read: Read | null = null;

  constructor(host: ReactiveControllerHost, session: () => Session) {
    this.#session = session;
    host.addController(this);
    new Follow(host, () => {
      const again = (): void => {
        this.#read = null;
        host.requestUpdate();
      };
      again();
      const { notes, record } = session().documents;
      return [
        session().on('hidden', again),
        observeMaps(noteMaps(notes), again),
        observeMaps([recordMap(record, 'stamps'), recordMap(record, 'people')], again),
      ];
    });
  }

  hostConnected(): void {
    this.#read = null;
  }

  /** Notes in the order of writing, of one shot or of all. */
  notes(shot?: string): readonly Note[] {
    const { notes } = this.#current;
    return shot === undefined ? notes : notes.filter((note) => note.shot === shot);
  }

  get stamps(): ReadonlyMap<string, Stamp> {
    return this.#current.stamps;
  }

  get people(): ReadonlyMap<string, Person> {
    return this.#current.people;
  }

  /** Everybody of the review by name. */
  get everyone(): readonly Person[] {
    return [...this.people.values()].sort((a, b) => a.name.localeCompare(b.name));
  }

  /** The number of a note among those of its shot, from 1; the pins on the drawing bear the same. */
  numberOf(note: string): number {
    return this.#current.numbers.get(note) ?? 0;
  }

  get #current(): Read {
    this.#read ??= readAll(this.#session());
    return this.#read;
  }
}

function readAll(session: Session): Read {
  const { documents } = session;
  const stamps = readStamps(documents.record);
  // A note that the server has not stamped yet is the newest.
  const at = (id: string): string => stamps.get(id)?.at ?? '\uffff';
  const notes = readNotes(documents.notes)
    // What a note tells of readings is hidden with the others of its shot.
    .map((note) => (session.hides(note.shot) ? withoutReadings(note) : note))
    .sort((a, b) => (at(a.id) < at(b.id) ? -1 : 1));
  const numbers = new Map<string, number>();
  const counts = new Map<string, number>();
  for (const { id, shot } of notes) {
    const number = (counts.get(shot) ?? 0) + 1;
    counts.set(shot, number);
    numbers.set(id, number);
  }
  return { notes, stamps, people: readPeople(documents.record), numbers };
}
