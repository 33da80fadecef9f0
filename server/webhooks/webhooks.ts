import { createHmac } from 'node:crypto';
import type { Decision } from '../../core/document/index.ts';
import type { Clock, Timer } from '../clock.ts';
import type { Log } from '../log.ts';
import type { Post } from './post.ts';
import type { Due, WebhookStore } from './webhook-store.ts';

/** How long after a failed try the next one comes; after the last it is given up. */
export const RETRY_AFTER_MS = [10_000, 60_000, 600_000, 3_600_000, 6 * 3_600_000] as const;

/**
 * The signature of a message, as in the header `Counterlean-Signature: t=SECONDS,v1=HEX`:
 * HMAC-SHA-256 with the webhook's secret over `SECONDS.BODY`. The time is signed too, so that an old
 * message cannot be sent again as a new one.
 */
export function signatureOf(secret: string, body: string, seconds: number): string {
  const mac = createHmac('sha256', secret).update(`${seconds}.${body}`).digest('hex');
  return `t=${seconds},v1=${mac}`;
}

export interface WebhookDeps {
  readonly store: WebhookStore;
  readonly post: Post;
  readonly clock: Clock;
  readonly log: Log;
}

/**
 * Tells webhooks what was decided. What is to be told is written down first and sent afterwards, so
 * that nobody's work waits for it, and a restart forgets nothing.
 */
export class Webhooks {
  readonly #deps: WebhookDeps;
  #timer: Timer | null = null;
  #sending: Promise<void> = Promise.resolve();
  #isClosed = false;

  constructor(deps: WebhookDeps) {
    this.#deps = deps;
    this.#plan();
  }

  /** Tells that shots of a review have changed state. */
  readonly decided = (review: string, decisions: readonly Decision[]): void => {
    const { store, log } = this.#deps;
    try {
      for (const decision of decisions) {
        const { id, at, ...fields } = decision;
        store.enqueue(review, JSON.stringify({ event: 'shot.state', id, at, review, ...fields }));
      }
    } catch (cause) {
      log.problem('A webhook could not be told of a decision.', cause);
      return;
    }
    this.#plan();
  };

  /** Resolves when what is being sent has been answered. */
  async settled(): Promise<void> {
    await this.#sending;
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    if (this.#timer !== null) this.#deps.clock.cancel(this.#timer);
    await this.#sending;
  }

  /** @param atLeast milliseconds before the next try, whatever is due */
  #plan(atLeast = 0): void {
    const { store, clock } = this.#deps;
    if (this.#isClosed) return;
    if (this.#timer !== null) clock.cancel(this.#timer);
    this.#timer = null;
    const next = store.nextAt();
    if (next === null) return;
    const delay = Math.max(atLeast, Date.parse(next) - clock.now());
    this.#timer = clock.after(delay, () => {
      this.#timer = null;
      this.#sending = this.#sending.then(() => this.#sendDue());
    });
  }

  async #sendDue(): Promise<void> {
    if (this.#isClosed) return;
    try {
      await Promise.all(this.#deps.store.due().map((due) => this.#send(due)));
      this.#plan();
    } catch (cause) {
      // Nothing could be written down of how it went, so it stays due: not at once, over and over.
      this.#deps.log.problem('What became of a webhook could not be kept.', cause);
      this.#plan(RETRY_AFTER_MS[0]);
    }
  }

  async #send({ id, url, secret, body, tries }: Due): Promise<void> {
    const { store, post, clock } = this.#deps;
    const seconds = Math.floor(clock.now() / 1000);
    const headers = {
      'content-type': 'application/json',
      'user-agent': 'Counterlean',
      'counterlean-delivery': id,
      'counterlean-signature': signatureOf(secret, body, seconds),
    };
    let status: number | null = null;
    let fault: string | null = null;
    try {
      status = await post(url, headers, body);
      if (status < 200 || status >= 300) fault = `it answered ${status}`;
    } catch (cause) {
      fault = cause instanceof Error ? cause.message : String(cause);
    }
    const wait = fault === null ? undefined : RETRY_AFTER_MS[tries];
    const nextAt = wait === undefined ? null : new Date(clock.now() + wait).toISOString();
    store.tried(id, { status, fault: fault?.slice(0, 200) ?? null, nextAt });
  }
}
