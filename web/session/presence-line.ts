import { type Person, readPresence, type WhatIf } from '../../core/document/index.ts';
import type { DocumentLine } from './document-line.ts';
import type { Other, Showing } from './types.ts';

/** Cursors and drags go out at most this often: 30 times a second. */
export const PRESENCE_INTERVAL_MS = 1000 / 30;

const NOWHERE = {
  shot: null,
  draft: null,
  frame: null,
  cursor: null,
  selection: null,
  drag: null,
  whatIf: null,
  ends: null,
  camera: null,
  with: null,
  along: null,
  hand: null,
  ping: null,
  mark: null,
} satisfies Required<Showing>;

/** What my own page hears of at once when I change it. */
const HEARD = ['drag', 'whatIf', 'ends', 'with', 'along', 'hand', 'ping'] as const;

/**
 * Who is here, over the awareness of the `scenes` document. What I show goes out throttled; a drag
 * is known to my own page at once.
 */
export class PresenceLine {
  readonly #line: DocumentLine;
  readonly #onChange: () => void;
  readonly #people: () => ReadonlyMap<string, Person>;
  #me: Person;
  #showing: Required<Showing> = NOWHERE;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #lastSent = 0;
  #others: readonly Other[] | null = null;
  /** Fifty people move their pointers a thousand times a second: the page hears once a frame. */
  #heard: number | null = null;

  /** @param people everybody of the review, by person id: who somebody is, is not theirs to say */
  constructor(
    line: DocumentLine,
    me: Person,
    people: () => ReadonlyMap<string, Person>,
    onChange: () => void,
  ) {
    this.#line = line;
    this.#me = me;
    this.#people = people;
    this.#onChange = onChange;
    const { awareness } = line.provider;
    // The stock provider sends other people's states back as well, which in a room of 60 is the most
    // part of the traffic; only one's own are sent here.
    awareness.off('update', line.provider._awarenessUpdateHandler);
    awareness.on('update', this.#sendOwn);
    awareness.on('change', this.#changed);
    line.provider.on('status', this.#onStatus);
    this.#flush();
  }

  get showing(): Readonly<Required<Showing>> {
    return this.#showing;
  }

  get whatIf(): WhatIf | null {
    return this.#showing.whatIf;
  }

  get ends(): string | null {
    return this.#showing.ends;
  }

  setMe(me: Person): void {
    this.#me = me;
    this.#flush();
  }

  show(showing: Showing): void {
    const before = this.#showing;
    this.#showing = { ...before, ...showing };
    if (HEARD.some((field) => before[field] !== this.#showing[field])) this.#onChange();
    const wait = this.#lastSent + PRESENCE_INTERVAL_MS - performance.now();
    if (wait <= 0) this.#flush();
    else this.#timer ??= setTimeout(() => this.#flush(), wait);
  }

  others(): readonly Other[] {
    this.#others ??= this.#readOthers();
    return this.#others;
  }

  /** The record of people changed: names are read again. */
  reread(): void {
    this.#changed();
  }

  destroy(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    if (this.#heard !== null) cancelAnimationFrame(this.#heard);
    const { awareness } = this.#line.provider;
    awareness.setLocalState(null);
    awareness.off('update', this.#sendOwn);
    awareness.off('change', this.#changed);
    this.#line.provider.off('status', this.#onStatus);
  }

  #readOthers(): Other[] {
    const { awareness } = this.#line.provider;
    const others: Other[] = [];
    const people = this.#people();
    for (const [client, state] of awareness.getStates()) {
      if (client === awareness.clientID) continue;
      const presence = readPresence(state);
      if (presence === null) continue;
      const {
        name = presence.name,
        ink = presence.ink,
        role = null,
      } = people.get(presence.person) ?? {};
      others.push({ ...presence, name, ink, role, client });
    }
    return others.sort((a, b) =>
      a.name < b.name ? -1 : a.name > b.name ? 1 : a.client - b.client,
    );
  }

  #flush(): void {
    if (this.#timer !== null) clearTimeout(this.#timer);
    this.#timer = null;
    this.#lastSent = performance.now();
    const { id, name, ink } = this.#me;
    this.#line.provider.awareness.setLocalState({ person: id, name, ink, ...this.#showing });
  }

  /**
   * When a line drops, the others forget my state but not its clock, or were told by the server, one
   * clock later, that I left; an older or equal clock they would not take. Showing myself twice is
   * past both.
   */
  readonly #onStatus = ({ status }: { status: string }): void => {
    if (status !== 'connected') return;
    this.#flush();
    this.#flush();
  };

  readonly #changed = (): void => {
    this.#others = null;
    this.#settleWhatIfs();
    this.#heard ??= requestAnimationFrame(() => {
      this.#heard = null;
      this.#onChange();
    });
  };

  /** My what-if goes when a lead ends it; my end of another's goes when that one is gone. */
  #settleWhatIfs(): void {
    const { whatIf, ends } = this.#showing;
    const others = this.others();
    if (whatIf !== null && others.some((other) => other.ends === whatIf.id))
      this.show({ whatIf: null });
    if (ends !== null && others.every((other) => other.whatIf?.id !== ends))
      this.show({ ends: null });
  }

  readonly #sendOwn = (
    changes: { added: number[]; updated: number[]; removed: number[] },
    origin: unknown,
  ): void => {
    const { awareness, _awarenessUpdateHandler: send } = this.#line.provider;
    const own = (clients: readonly number[]): number[] =>
      clients.filter((client) => client === awareness.clientID);
    const mine = {
      added: own(changes.added),
      updated: own(changes.updated),
      removed: own(changes.removed),
    };
    if (mine.added.length + mine.updated.length + mine.removed.length > 0) send(mine, origin);
  };
}
