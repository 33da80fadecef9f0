import { type Clock, DAY_MS, timeOf } from '../clock.ts';
import type { Token, TokenStore } from '../storage/token-store.ts';
import { clearedCookie, MAX_AGE_MS, sessionCookie, tokenIn } from './cookie.ts';
import { makeCapability } from './secrets.ts';

/** A cookie is exchanged for a new one when it is older than this. */
export const ROTATE_AFTER_MS = DAY_MS;

/** How long a cookie stays good after its successor was seen: requests may be under way with it. */
export const OVERLAP_MS = 60 * 1000;

/**
 * Which session a browser's cookie stands for. A cookie names a token that is signed and listed; it is
 * exchanged while the session stays, so that one that leaked stops working.
 */
export class Sessions {
  readonly #tokens: TokenStore;
  readonly #clock: Clock;
  readonly #secret: string;
  readonly #publicUrl: string | null;

  constructor(deps: {
    tokens: TokenStore;
    clock: Clock;
    secret: string;
    publicUrl: string | null;
  }) {
    this.#tokens = deps.tokens;
    this.#clock = deps.clock;
    this.#secret = deps.secret;
    this.#publicUrl = deps.publicUrl;
  }

  /** The session that a Cookie header stands for; null if there is none, or not any more. */
  of(header: string | null | undefined): string | null {
    return this.#read(header)?.session ?? null;
  }

  /**
   * Signs a browser in.
   * @param header its Cookie header: the token in it ends when the new one has been seen
   * @returns the Set-Cookie header
   */
  signIn(session: string, header: string | null | undefined): string {
    const now = this.#clock.now();
    this.#tokens.sweep(new Date(now - MAX_AGE_MS).toISOString(), timeOf(this.#clock));
    return this.#issue(session, this.#read(header)?.token ?? null);
  }

  /** The Set-Cookie header that exchanges a cookie; null while it is new enough, or good for nothing. */
  renewed(header: string | null | undefined): string | null {
    const token = this.#read(header);
    if (token === null || token.endsAt !== null) return null;
    if (this.#clock.now() - Date.parse(token.issuedAt) < ROTATE_AFTER_MS) return null;
    return this.#issue(token.session, token.token);
  }

  /** Signs all browsers of a session out. @returns the Set-Cookie header */
  end(session: string): string {
    this.#tokens.removeAllOf(session);
    return clearedCookie(this.#publicUrl);
  }

  #read(header: string | null | undefined): Token | null {
    const named = tokenIn(header, this.#secret);
    const token = named === null ? null : this.#tokens.get(named);
    if (token === null) return null;
    const now = this.#clock.now();
    const isOver = token.endsAt !== null && Date.parse(token.endsAt) <= now;
    if (isOver || now - Date.parse(token.issuedAt) > MAX_AGE_MS) {
      this.#tokens.remove(token.token);
      return null;
    }
    if (token.replaces !== null) {
      this.#tokens.takeOver(token, new Date(now + OVERLAP_MS).toISOString());
    }
    return token;
  }

  #issue(session: string, replaces: string | null): string {
    const token = makeCapability();
    this.#tokens.add({ token, session, issuedAt: timeOf(this.#clock), replaces });
    return sessionCookie(token, this.#secret, this.#publicUrl);
  }
}
