import type * as Y from 'yjs';
import {
  callsMap,
  type Drag,
  hiddenShots,
  isCalled,
  isSealed,
  type Person,
  readDraft,
  readPeople,
  recordMap,
  setEntries,
  type WhatIf,
} from '../../core/document/index.ts';
import { CLOSE, type DocumentName, mayWrite } from '../../core/protocol/index.ts';
import { fileUrl, putFile, readFile, readMe } from './api.ts';
import { DocumentLine } from './document-line.ts';
import { keepApart, storeName } from './kept-apart.ts';
import { PersonalUndo, type Undone } from './personal-undo.ts';
import { PresenceLine } from './presence-line.ts';
import { PuttingAway } from './putting-away.ts';
import { TypedEvents } from './typed-events.ts';
import {
  type Other,
  type SavedState,
  type Session,
  type SessionEvents,
  type Showing,
  USER_ORIGIN,
} from './types.ts';

// How long opening waits for the server when a copy in this browser could be shown meanwhile.
const SERVER_PATIENCE_MS = 2_000;

const WHERE_IT_IS =
  'What you see is the review as the server has it; what it has not is under Kept work.';

const later = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

/** A session with one review over its three documents; see `Session` for what it promises. */
export class ReviewSession implements Session {
  readonly documents: Readonly<Record<DocumentName, Y.Doc>>;
  readonly #lines: Readonly<Record<DocumentName, DocumentLine>>;
  readonly #presence: PresenceLine;
  readonly #undo: PersonalUndo;
  readonly #events = new TypedEvents<SessionEvents>();
  readonly #files = new Map<string, Promise<Uint8Array>>();
  #me: Person;
  #saved: SavedState = 'saving';
  #stale = false;
  readonly #away = new PuttingAway();
  #hidden: 'all' | ReadonlySet<string> = 'all';

  /**
   * Joins a review as the person that this browser is. Resolves when there is something to show:
   * the server's state, or the copy in this browser while the server is away. Throws ApiError.
   */
  static async open(review: string): Promise<ReviewSession> {
    const { person, generation } = await readMe(review);
    const session = new ReviewSession(review, person, generation);
    const lines = Object.values(session.#lines);
    await Promise.all(lines.map((line) => line.loaded()));
    for (const line of lines) line.connect();
    const synced = Promise.all(lines.map((line) => line.synced()));
    const kept = session.documents.scenes.getMap('meta').size > 0;
    await (kept ? Promise.race([synced, later(SERVER_PATIENCE_MS)]) : synced);
    return session;
  }

  private constructor(
    readonly review: string,
    me: Person,
    readonly generation: string,
  ) {
    this.#me = me;
    const line = (name: DocumentName): DocumentLine =>
      new DocumentLine({
        serverUrl: `${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}/sync`,
        room: `${encodeURIComponent(review)}/${name}`,
        generation,
        // A copy from before a restore stays in its own store, and is not merged into what was restored.
        store: name === 'record' ? null : storeName(review, me.id, name, generation),
        writes: () => this.mayWrite(name),
        onState: () => {
          this.#updateSaved();
          if (name === 'record') this.#readHidden();
        },
        onRefused: (reason) => this.#refused(name, reason),
        onHeld: (reason) => this.say(`Not saved yet: ${reason}. Your work is kept here meanwhile.`),
        onClosed: (code) => this.#closedFor(name, code),
      });
    this.#lines = { scenes: line('scenes'), notes: line('notes'), record: line('record') };
    this.documents = {
      scenes: this.#lines.scenes.doc,
      notes: this.#lines.notes.doc,
      record: this.#lines.record.doc,
    };
    this.#presence = new PresenceLine(
      this.#lines.scenes,
      me,
      () => readPeople(this.documents.record),
      () => this.#events.emit('presence', undefined),
    );
    this.#undo = new PersonalUndo(
      [this.documents.scenes, this.documents.notes],
      () => this.#events.emit('undo', undefined),
      (draft) => this.staysAsItIs(draft),
    );
    callsMap(this.documents.record).observe(() => this.#readHidden());
    recordMap(this.documents.record, 'people').observe(() => {
      this.#followMe();
      this.#presence.reread();
    });
  }

  get me(): Person {
    return this.#me;
  }

  get saved(): SavedState {
    return this.#saved;
  }

  get canUndo(): boolean {
    return this.#undo.canUndo;
  }

  get canRedo(): boolean {
    return this.#undo.canRedo;
  }

  get showing(): Readonly<Required<Showing>> {
    return this.#presence.showing;
  }

  get drag(): Drag | null {
    return this.#presence.showing.drag;
  }

  hides(shot: string): boolean {
    return this.#hidden === 'all' || this.#hidden.has(shot);
  }

  staysAsItIs(draft: string): string | null {
    const { scenes, record } = this.documents;
    const number = readDraft(scenes, draft)?.number;
    const which = number === undefined ? 'this draft' : `draft ${number}`;
    if (isCalled(record, draft)) {
      return `A call is open on ${which}: it stays as it is until the call is shown.`;
    }
    if (!isSealed(scenes, draft)) return null;
    return `A lead has sealed ${which}: it stays as it is. Make a new draft from it to go on.`;
  }

  get whatIf(): WhatIf | null {
    return this.#presence.whatIf;
  }

  get ends(): string | null {
    return this.#presence.ends;
  }

  mayWrite(document: DocumentName): boolean {
    return mayWrite(this.#me.role, document);
  }

  edit(
    document: 'scenes' | 'notes',
    label: string,
    change: (doc: Y.Doc, origin: typeof USER_ORIGIN) => void,
  ): void {
    if (!this.mayWrite(document)) {
      this.say(`As ${this.#me.role} you can look, but not change this.`);
      return;
    }
    if (this.#opensAfresh()) return;
    const doc = this.documents[document];
    this.#undo.labelled(label, () => doc.transact(() => change(doc, USER_ORIGIN), USER_ORIGIN));
  }

  /** Says so while the copy of what was refused is put away: what is changed now would be in none. */
  #opensAfresh(): boolean {
    if (this.#away.busy) this.say('This page is opening afresh. Do that again in a moment.');
    return this.#away.busy;
  }

  undo(): string | null {
    if (this.#opensAfresh()) return null;
    return this.#tell('Undid', this.#undo.undo());
  }

  redo(): string | null {
    if (this.#opensAfresh()) return null;
    return this.#tell('Did again', this.#undo.redo());
  }

  others(): readonly Other[] {
    return this.#presence.others();
  }

  show(showing: Showing): void {
    // What the gate would refuse is not even shown: with it all of my presence would be.
    this.#presence.show({
      ...showing,
      // A drag is weighed in every window, so it needs the right to make its end stay.
      ...(this.mayWrite('scenes') ? {} : { drag: null }),
      ...(this.mayWrite('notes') ? {} : { whatIf: null, mark: null }),
      ...(this.#me.role === 'lead' ? {} : { ends: null }),
    });
  }

  commitDrag(label: string): void {
    const { drag } = this;
    if (drag === null) return;
    const why = this.staysAsItIs(drag.draft);
    if (why !== null) {
      this.cancelDrag();
      this.say(why);
      return;
    }
    this.edit('scenes', label, (doc, origin) => setEntries(doc, drag.draft, drag.entries, origin));
    // The edit went out first, so that nobody sees the part jump back in between.
    this.show({ drag: null });
  }

  cancelDrag(): void {
    this.show({ drag: null });
  }

  say(message: string): void {
    this.#events.emit('message', message);
  }

  file(hash: string): Promise<Uint8Array> {
    const known = this.#files.get(hash);
    if (known !== undefined) return known;
    const loading = readFile(this.review, hash);
    this.#files.set(hash, loading);
    loading.catch(() => this.#files.delete(hash));
    return loading;
  }

  fileUrl(hash: string): string {
    return fileUrl(this.review, hash);
  }

  async putFile(bytes: Uint8Array): Promise<string> {
    const hash = await putFile(this.review, bytes);
    this.#files.set(hash, Promise.resolve(bytes));
    return hash;
  }

  on<K extends keyof SessionEvents>(
    type: K,
    listener: (detail: SessionEvents[K]) => void,
  ): () => void {
    return this.#events.on(type, listener);
  }

  close(): void {
    this.#events.clear();
    this.#presence.destroy();
    this.#undo.destroy();
    for (const line of Object.values(this.#lines)) void line.close();
  }

  #tell(verb: string, undone: Undone): string | null {
    if (undone.kind === 'nothing') return null;
    if (undone.kind === 'done') {
      this.say(`${verb}: ${undone.label}.`);
      return undone.label;
    }
    if (undone.kind === 'stays') {
      this.say(undone.reason);
      return null;
    }
    this.say(`Someone has worked on this since, so it was left as it is: ${undone.label}.`);
    return undone.label;
  }

  /** Until the record is here nobody knows what is hidden; without a line one works with what one has. */
  #readHidden(): void {
    const now = this.#lines.record.awaited ? 'all' : hiddenShots(this.documents.record);
    const text = (hidden: 'all' | ReadonlySet<string>): string => [...hidden].sort().join(' ');
    if (text(now) === text(this.#hidden)) return;
    this.#hidden = now;
    this.#events.emit('hidden', undefined);
  }

  #updateSaved(): void {
    const lines = Object.values(this.#lines);
    const states = lines.map((line) => line.saved);
    const order: readonly SavedState[] = ['offline', 'saving', 'saved'];
    const worst = order.find((state) => states.includes(state)) ?? 'saved';
    const saved = lines.some((line) => line.keeping) ? 'saving' : worst;
    if (saved === this.#saved) return;
    this.#saved = saved;
    this.#events.emit('saved', saved);
  }

  /** The record knows best: the server writes it, for instance when another window renames me. */
  #followMe(): void {
    const known = readPeople(this.documents.record).get(this.#me.id);
    if (known === undefined || JSON.stringify(known) === JSON.stringify(this.#me)) return;
    this.#me = known;
    this.#presence.setMe(known);
    this.#updateSaved();
    this.#events.emit('me', known);
  }

  /**
   * A refused edit would be refused again with everything after it, so this browser's copy is kept
   * apart and the page opens afresh from the server's state.
   */
  #refused(document: DocumentName, reason: string): void {
    void this.#startAfresh(document, `Your last change was not taken: ${reason}. ${WHERE_IT_IS}`);
  }

  #closedFor(document: DocumentName, code: number): void {
    if (code === CLOSE.notSignedIn) {
      this.#turnStale(
        'This browser is not signed in to the review any more. What you did last is kept here; ' +
          'open your invite link to join again.',
        true,
      );
    } else if (code === CLOSE.forbidden) {
      this.#turnStale(
        'This review is not open to you, or it is not there. Ask its lead for an invite link.',
        true,
      );
    } else if (code === CLOSE.restored) {
      this.#turnStale(
        `The review was put back to an earlier state on the server. ${WHERE_IT_IS}`,
        false,
      );
    } else {
      void this.#startAfresh(
        document,
        'The server could not read what this page sent. What you see is the review as it has it.',
      );
    }
  }

  async #startAfresh(document: DocumentName, reason: string): Promise<void> {
    if (this.#stale) return;
    const last = await this.#away.once(document, async () => {
      if (document !== 'record') {
        // Nothing is lost: what was not taken stays in a copy of its own (web/kept shows it).
        await keepApart(this.review, this.#me.id, document, this.documents[document]);
      }
      await this.#lines[document].forget();
    });
    if (last) this.#turnStale(reason, false);
  }

  #turnStale(reason: string, joinAgain: boolean): void {
    if (this.#stale) return;
    this.#stale = true;
    this.#events.emit('stale', { reason, joinAgain });
  }
}
