/** Whether to send people here. */
export interface Ready {
  readonly ready: boolean;
  /** What stands against it, or is to be known; empty when all is well. */
  readonly notices: readonly string[];
}

/** Knows whether the server can do its work. */
export class Readiness {
  readonly #canRead: () => boolean;
  readonly #isFull: () => boolean;
  #isStopping = false;

  constructor(deps: { canRead: () => boolean; isFull: () => boolean }) {
    this.#canRead = deps.canRead;
    this.#isFull = deps.isFull;
  }

  get isStopping(): boolean {
    return this.#isStopping;
  }

  /** From now on people are to go elsewhere, or to wait. */
  stop(): void {
    this.#isStopping = true;
  }

  now(): Ready {
    if (this.#isStopping) return { ready: false, notices: ['the server is going down'] };
    if (!this.#canRead()) return { ready: false, notices: ['the data cannot be read'] };
    // Reviews can still be opened, so people are still to come.
    if (this.#isFull())
      return { ready: true, notices: ['no room for data: nothing can be changed'] };
    return { ready: true, notices: [] };
  }
}
