import * as client from 'openid-client';
import type { Clock } from '../clock.ts';
import type { OpenIdSettings } from '../settings.ts';
import type { Identity } from '../storage/account-store.ts';
import { isLoopbackName } from './origin.ts';
import { makeCapability } from './secrets.ts';

/** How long somebody may take to sign in at the provider. */
const FLOW_MS = 10 * 60 * 1000;
const MAX_FLOWS = 10_000;
/** The longest name that a review shows. */
const MAX_NAME = 40;

/** Where the provider sends people back to, behind the server's address. */
export const CALLBACK_PATH = '/sign-in/callback';

/** What is remembered of somebody who is at the provider. */
interface Flow {
  readonly state: string;
  readonly nonce: string;
  readonly verifier: string;
  /** The session that the browser had, which its Strict cookie does not say on the way back. */
  readonly session: string | null;
  /** The invite link that they were following. */
  readonly capability: string | null;
  readonly until: number;
}

/** Somebody back from the provider. */
export interface SignedIn {
  readonly identity: Identity;
  readonly session: string | null;
  readonly capability: string | null;
}

/**
 * Sign-in with an OpenID Connect provider: authorization code flow with PKCE, state and nonce. Flows
 * are kept in memory: a restart asks whoever was at the provider to begin again.
 */
export class OpenIdDoor {
  readonly #settings: OpenIdSettings;
  readonly #redirect: string;
  readonly #clock: Clock;
  readonly #flows = new Map<string, Flow>();
  #discovered: Promise<client.Configuration> | null = null;

  constructor(settings: OpenIdSettings, publicUrl: string, clock: Clock) {
    this.#settings = settings;
    this.#redirect = publicUrl + CALLBACK_PATH;
    this.#clock = clock;
  }

  /** Whether invite links open only for people who have signed in. */
  get only(): boolean {
    return this.#settings.only;
  }

  /**
   * Begins a sign-in.
   * @returns the provider's address, and the flow's id for the browser's cookie
   */
  async begin(
    from: Pick<Flow, 'session' | 'capability'>,
  ): Promise<{ readonly address: string; readonly flow: string }> {
    const config = await this.#config();
    const [state, nonce] = [client.randomState(), client.randomNonce()];
    const verifier = client.randomPKCECodeVerifier();
    const address = client.buildAuthorizationUrl(config, {
      redirect_uri: this.#redirect,
      scope: 'openid profile',
      code_challenge: await client.calculatePKCECodeChallenge(verifier),
      code_challenge_method: 'S256',
      state,
      nonce,
    });
    this.#forgetLate();
    const flow = makeCapability();
    const until = this.#clock.now() + FLOW_MS;
    this.#flows.set(flow, { state, nonce, verifier, ...from, until });
    return { address: address.href, flow };
  }

  /**
   * Ends a sign-in. A flow can be ended once.
   * @param query the query with which the browser came back
   * @returns null when there is no such flow, it took too long, or the provider did not vouch for them
   */
  async end(flow: string | null, query: string): Promise<SignedIn | null> {
    const begun = flow === null ? undefined : this.#flows.get(flow);
    if (flow === null || begun === undefined) return null;
    this.#flows.delete(flow);
    if (begun.until <= this.#clock.now()) return null;
    const { state, nonce, verifier, session, capability } = begun;
    let claims: client.IDToken | undefined;
    try {
      const tokens = await client.authorizationCodeGrant(
        await this.#config(),
        new URL(this.#redirect + query),
        {
          expectedState: state,
          expectedNonce: nonce,
          pkceCodeVerifier: verifier,
          idTokenExpected: true,
        },
      );
      claims = tokens.claims();
    } catch (cause) {
      if (isRefusal(cause)) return null;
      throw cause;
    }
    if (claims === undefined) return null;
    const identity = { issuer: claims.iss, subject: claims.sub, name: nameIn(claims) };
    return { identity, session, capability };
  }

  #config(): Promise<client.Configuration> {
    this.#discovered ??= this.#discover().catch((cause: unknown) => {
      // The provider may be back for the next one.
      this.#discovered = null;
      throw cause;
    });
    return this.#discovered;
  }

  #discover(): Promise<client.Configuration> {
    const { issuer, clientId, clientSecret } = this.#settings;
    const address = new URL(issuer);
    // Plain HTTP only to this machine itself.
    const execute =
      address.protocol === 'http:' && isLoopbackName(address.hostname)
        ? [client.allowInsecureRequests]
        : [];
    const authentication =
      clientSecret === null ? client.None() : client.ClientSecretBasic(clientSecret);
    return client.discovery(address, clientId, undefined, authentication, { execute });
  }

  #forgetLate(): void {
    const now = this.#clock.now();
    for (const [id, { until }] of this.#flows) {
      // Flows are in the order of their beginning: the rest is younger.
      if (until > now && this.#flows.size < MAX_FLOWS) return;
      this.#flows.delete(id);
    }
  }
}

/** The provider refused, or what came back does not fit: no fault of this server. */
const isRefusal = (cause: unknown): boolean =>
  cause instanceof client.AuthorizationResponseError ||
  cause instanceof client.ResponseBodyError ||
  (cause instanceof client.ClientError && /^OAUTH_(INVALID|JWT)/.test(cause.code ?? ''));

function nameIn(claims: client.IDToken): string | null {
  for (const claim of [claims.name, claims.preferred_username]) {
    if (typeof claim !== 'string') continue;
    const name = claim
      .replace(/[\p{Cc}\p{Cf}]/gu, ' ')
      .replace(/\s+/g, ' ')
      .trim()
      .slice(0, MAX_NAME);
    if (name !== '') return name;
  }
  return null;
}
