import { parse, serialize } from 'hono/utils/cookie';
import { sign, unsign } from './secrets.ts';

const NAME = 'counterlean';
const MAX_AGE_S = 180 * 24 * 3600;

/** The session that a Cookie header names; null if there is none or it was not signed here. */
export function sessionIn(header: string | null | undefined, secret: string): string | null {
  const signed = header ? parse(header, NAME)[NAME] : undefined;
  return signed === undefined ? null : unsign(signed, secret);
}

/**
 * The Set-Cookie header that signs a browser in. Strict: no other site's link or form carries it.
 * Secure where people reach the server over TLS.
 */
export function sessionCookie(session: string, secret: string, publicUrl: string | null): string {
  return serialize(NAME, sign(session, secret), {
    path: '/',
    httpOnly: true,
    sameSite: 'Strict',
    maxAge: MAX_AGE_S,
    secure: publicUrl?.startsWith('https:') ?? false,
  });
}
