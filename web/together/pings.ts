import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Pin, Ping } from '../../core/document/index.ts';
import type { LiveDraft, Session } from '../session/index.ts';

/** How long a ping is seen, milliseconds. */
const SEEN_MS = 2500;

/** Somebody pointing at something of the draft, for as long as it is seen. */
export interface SeenPing extends Ping {
  readonly id: string;
  readonly name: string;
  readonly ink: number;
}

interface PingsHost extends ReactiveControllerHost {
  readonly session: Session;
  readonly live: LiveDraft;
  /** What a person would call a thing of the scene. */
  labelOf(thing: string): string;
}

/**
 * Pings on one draft: shows each for a moment and says what it points at. Pings from before this
 * window came are over.
 */
export class Pings implements ReactiveController {
  readonly #host: PingsHost;
  readonly #known = new Map<number, number>();
  readonly #timers = new Set<ReturnType<typeof setTimeout>>();
  #stop: () => void = () => undefined;
  seen: readonly SeenPing[] = [];

  constructor(host: PingsHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    const { session } = this.#host;
    for (const { client, ping } of session.others()) this.#known.set(client, ping?.count ?? 0);
    this.#stop = session.on('presence', () => this.#read());
  }

  hostDisconnected(): void {
    this.#stop();
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.clear();
    this.seen = [];
  }

  /** Points at a place; `pin` is what is there. */
  point(at: Pick<Ping, 'view' | 'point'>, thing: string | null): void {
    const { session } = this.#host;
    const ping: Ping = { ...at, thing, count: (session.showing.ping?.count ?? 0) + 1 };
    session.show({ ping });
    const { name, ink } = session.me;
    this.#show({ ...ping, name, ink, id: `mine/${ping.count}` });
    session.say(
      thing === null ? 'You point here: all see it.' : `You point at ${this.#said(thing)}.`,
    );
  }

  #read(): void {
    const { session, live } = this.#host;
    for (const { client, ping, draft, name, ink } of session.others()) {
      if (ping === null || ping.count === this.#known.get(client)) continue;
      this.#known.set(client, ping.count);
      if (draft !== live.draft) continue;
      this.#show({ ...ping, name, ink, id: `${client}/${ping.count}` });
      session.say(
        `${name} points ${ping.thing === null ? 'at the drawing' : `at ${this.#said(ping.thing)}`}.`,
      );
    }
  }

  #said(thing: string): string {
    const label = this.#host.labelOf(thing);
    return /^[a-z]/.test(label) ? `the ${label}` : label;
  }

  #show(ping: SeenPing): void {
    this.seen = [...this.seen, ping];
    this.#host.requestUpdate();
    const timer = setTimeout(() => {
      this.#timers.delete(timer);
      this.seen = this.seen.filter(({ id }) => id !== ping.id);
      this.#host.requestUpdate();
    }, SEEN_MS);
    this.#timers.add(timer);
  }
}

/** What a drawing finds under a pointer. */
export interface Pointed {
  readonly point: Ping['point'];
  readonly pin: Pin | null;
}
