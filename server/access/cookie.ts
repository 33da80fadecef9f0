import { parse, serialize } from 'hono/utils/cookie';
import { DAY_MS } from '../clock.ts';
import { sign, unsign } from './secrets.ts';

const NAME = 'counterlean';
// Browsers take a cookie of this prefix only over TLS, for this host alone and for all of it, so that
// no neighbouring host can put one here (RFC 6265bis, section 4.1.3.2).
const NAME_OVER_TLS = '__Host-counterlean';

/** A browser that has not been here for this long has to join again. */
export const MAX_AGE_MS = 180 * DAY_MS;

const isOverTls = (publicUrl: string | null): boolean => publicUrl?.startsWith('https:') ?? false;

/** The token that a Cookie header names; null if there is none or it was not signed here. */
export function tokenIn(header: string | null | undefined, secret: string): string | null {
  const cookies = header ? parse(header) : {};
  const signed = cookies[NAME_OVER_TLS] ?? cookies[NAME];
  return signed === undefined ? null : unsign(signed, secret);
}

/**
 * The Set-Cookie header that signs a browser in. Strict: no other site's link or form carries it.
 * Secure where people reach the server over TLS.
 */
export const sessionCookie = (token: string, secret: string, publicUrl: string | null): string =>
  cookie(sign(token, secret), MAX_AGE_MS / 1000, publicUrl);

/** The Set-Cookie header that takes the cookie away. */
export const clearedCookie = (publicUrl: string | null): string => cookie('', 0, publicUrl);

function cookie(value: string, maxAge: number, publicUrl: string | null): string {
  const secure = isOverTls(publicUrl);
  return serialize(secure ? NAME_OVER_TLS : NAME, value, {
    path: '/',
    httpOnly: true,
    sameSite: 'Strict',
    maxAge,
    secure,
  });
}
