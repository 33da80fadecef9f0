import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { FollowedDraft, type LiveDraft, type Session } from '../session/index.ts';

interface Host extends ReactiveControllerHost {
  readonly session: Session;
  readonly first: string;
  readonly second: string;
  readonly frame: number;
}

/** Follows the two drafts that an element shows together, at the same frame. */
export class TwoDrafts implements ReactiveController {
  readonly #host: Host;
  #live: FollowedDraft[] = [];

  constructor(host: Host) {
    this.#host = host;
    host.addController(this);
  }

  /** Both drafts, the first and the second; null until the host has been given them. */
  get both(): readonly [LiveDraft, LiveDraft] | null {
    const [first, second] = this.#live;
    return first === undefined || second === undefined ? null : [first, second];
  }

  /** To be called in the host's `willUpdate`: takes up other drafts and another frame. */
  follow(): void {
    const { session, first, second, frame } = this.#host;
    const shown = this.#live.map(({ draft }) => draft);
    if (shown[0] !== first || shown[1] !== second) {
      this.#close();
      this.#live = [first, second].map((draft) => new FollowedDraft(session, draft));
      for (const live of this.#live) live.addEventListener('change', this.#changed);
    }
    for (const live of this.#live) {
      if (live.motion !== null && live.frame !== frame) live.setFrame(frame);
    }
  }

  hostDisconnected(): void {
    this.#close();
  }

  readonly #changed = (): void => this.#host.requestUpdate();

  #close(): void {
    for (const live of this.#live) {
      live.removeEventListener('change', this.#changed);
      live.close();
    }
    this.#live = [];
  }
}
