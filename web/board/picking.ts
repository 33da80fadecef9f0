import type { ReactiveController, ReactiveControllerHost } from 'lit';

/** Which shots of the board are picked, to be changed together. */
export class Picking implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  #picked: ReadonlySet<string> = new Set();
  #anchor: string | null = null;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    this.clear();
  }

  get picked(): ReadonlySet<string> {
    return this.#picked;
  }

  /**
   * Picks a shot or lets it go; with `range` picks all from the one picked last to this one.
   * @param shown the shots on the board, in the order in which they hang
   */
  toggle(shot: string, range: boolean, shown: readonly string[]): void {
    const next = new Set(this.#picked);
    const from = range && this.#anchor !== null ? shown.indexOf(this.#anchor) : -1;
    const to = shown.indexOf(shot);
    if (from !== -1 && to !== -1) {
      for (const id of shown.slice(Math.min(from, to), Math.max(from, to) + 1)) next.add(id);
    } else if (!next.delete(shot)) next.add(shot);
    this.#anchor = shot;
    this.#set(next);
  }

  pickAll(shots: readonly string[]): void {
    this.#set(new Set(shots));
  }

  clear(): void {
    this.#anchor = null;
    this.#set(new Set());
  }

  #set(picked: ReadonlySet<string>): void {
    this.#picked = picked;
    this.#host.requestUpdate();
  }
}
