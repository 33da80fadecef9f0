import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type * as Y from 'yjs';

type Stop = () => void;

/**
 * Keeps an element listening to something while it is on the page. `subscribe` starts listening and
 * gives what stops it; call `restart` when what it listens to was exchanged.
 */
export class Follow implements ReactiveController {
  readonly #subscribe: () => readonly Stop[];
  #stops: readonly Stop[] = [];
  #connected = false;

  constructor(host: ReactiveControllerHost, subscribe: () => readonly Stop[]) {
    this.#subscribe = subscribe;
    host.addController(this);
  }

  hostConnected(): void {
    this.#connected = true;
    this.restart();
  }

  hostDisconnected(): void {
    this.#connected = false;
    this.#stop();
  }

  restart(): void {
    this.#stop();
    if (this.#connected) this.#stops = this.#subscribe();
  }

  #stop(): void {
    for (const stop of this.#stops) stop();
    this.#stops = [];
  }
}

/** Calls `changed` after any of the maps changed; gives what stops it. */
export function observeMaps(maps: readonly Y.Map<unknown>[], changed: () => void): Stop {
  for (const map of maps) map.observe(changed);
  return () => {
    for (const map of maps) map.unobserve(changed);
  };
}
