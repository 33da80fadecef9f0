import { isLoopbackName } from './access/origin.ts';

/** Environment variables, handed over by the program's two entries (main.ts, cli.ts). */
export type Environment = Readonly<Record<string, string | undefined>>;

/** An OpenID Connect provider that people may sign in with. */
export interface OpenIdSettings {
  readonly issuer: string;
  readonly clientId: string;
  /** Null for a public client. */
  readonly clientSecret: string | null;
  /** Whether invite links open only for people who have signed in there. */
  readonly only: boolean;
}

/** The server's settings. The README has the table of their names. */
export interface Settings {
  readonly port: number;
  readonly host: string;
  readonly data: string;
  readonly publicUrl: string | null;
  readonly secret: string | null;
  /** Whether the demo opens to this machine's browser. */
  readonly open: boolean;
  /** How many proxies of ours stand in front; that many entries of X-Forwarded-For are believed. */
  readonly proxies: number;
  readonly logFormat: 'text' | 'json';
  /** Opens /metrics to whoever shows it; null: only to this machine. */
  readonly metricsToken: string | null;
  readonly openId: OpenIdSettings | null;
  /** Whether webhooks may be on this machine and its network. */
  readonly webhooksInner: boolean;
}

/** Reads the settings. Throws Error with one sentence for a value that cannot be used. */
export function settingsFrom(env: Environment): Settings {
  const publicUrl = addressFrom('COUNTERLEAN_PUBLIC_URL', env.COUNTERLEAN_PUBLIC_URL);
  return {
    port: wholeFrom('COUNTERLEAN_PORT', env.COUNTERLEAN_PORT || '4747', 65535),
    host: env.COUNTERLEAN_HOST || '127.0.0.1',
    data: env.COUNTERLEAN_DATA || 'data',
    publicUrl,
    secret: secretFrom(env.COUNTERLEAN_SECRET),
    // With any sign that the server is for others than this machine, the demo does not open by
    // itself: behind a proxy, everybody looks like this machine. An address of this machine (the
    // development page has one) is no such sign.
    open:
      !env.COUNTERLEAN_HOST &&
      !env.COUNTERLEAN_SECRET &&
      !env.COUNTERLEAN_PROXIES &&
      !env.COUNTERLEAN_OIDC_ISSUER &&
      (publicUrl === null || isLoopbackName(new URL(publicUrl).hostname)),
    proxies: wholeFrom('COUNTERLEAN_PROXIES', env.COUNTERLEAN_PROXIES || '0', 8),
    logFormat: logFormatFrom(env.COUNTERLEAN_LOG || 'text'),
    metricsToken: env.COUNTERLEAN_METRICS_TOKEN || null,
    openId: openIdFrom(env, publicUrl),
    webhooksInner: env.COUNTERLEAN_WEBHOOKS_INNER === '1',
  };
}

function openIdFrom(env: Environment, publicUrl: string | null): OpenIdSettings | null {
  const issuer = addressFrom('COUNTERLEAN_OIDC_ISSUER', env.COUNTERLEAN_OIDC_ISSUER);
  if (issuer === null) return null;
  const { protocol, hostname } = new URL(issuer);
  if (protocol !== 'https:' && !isLoopbackName(hostname)) {
    throw new Error('COUNTERLEAN_OIDC_ISSUER should begin with https:');
  }
  if (!env.COUNTERLEAN_OIDC_CLIENT_ID) {
    throw new Error('COUNTERLEAN_OIDC_CLIENT_ID is missing; the provider gives it');
  }
  if (publicUrl === null) {
    throw new Error('COUNTERLEAN_PUBLIC_URL is missing; the provider sends people back to it');
  }
  return {
    issuer,
    clientId: env.COUNTERLEAN_OIDC_CLIENT_ID,
    clientSecret: env.COUNTERLEAN_OIDC_CLIENT_SECRET || null,
    only: env.COUNTERLEAN_OIDC_ONLY === '1',
  };
}

function addressFrom(name: string, text: string | undefined): string | null {
  if (!text) return null;
  if (!URL.canParse(text) || !/^https?:$/.test(new URL(text).protocol)) {
    throw new Error(`${name} is ${text}; it should be an address that begins with https://`);
  }
  return text.replace(/\/+$/, '');
}

function wholeFrom(name: string, text: string, most: number): number {
  const value = Number(text);
  if (Number.isInteger(value) && value >= 0 && value <= most) return value;
  throw new Error(`${name} is ${text}; it should be a whole number, 0 to ${most}`);
}

function logFormatFrom(text: string): 'text' | 'json' {
  if (text === 'text' || text === 'json') return text;
  throw new Error(`COUNTERLEAN_LOG is ${text}; it should be text or json`);
}

/** A short secret could be guessed from one signed cookie. */
function secretFrom(text: string | undefined): string | null {
  if (!text) return null;
  if (text.length >= 32) return text;
  throw new Error('COUNTERLEAN_SECRET should have at least 32 random characters');
}
