import { createHash, createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** 128 random bits as text for an address or a cookie. */
export const makeCapability = (): string => randomBytes(16).toString('base64url');

/** A short random id; 72 bits, so that ids made by one server never meet. */
export const makeId = (): string => randomBytes(9).toString('base64url');

/**
 * What is kept of a capability. A plain hash is enough: 128 random bits cannot be guessed from it,
 * unlike a password.
 */
export const hashOf = (capability: string): Buffer =>
  createHash('sha256').update(capability).digest();

/** `value.signature`, to be given to a browser and checked when it comes back. */
export function sign(value: string, secret: string): string {
  return `${value}.${signatureOf(value, secret)}`;
}

/** The value of a signed text; null if it was not signed with this secret. */
export function unsign(signed: string, secret: string): string | null {
  const cut = signed.lastIndexOf('.');
  if (cut < 1) return null;
  const value = signed.slice(0, cut);
  const given = Buffer.from(signed.slice(cut + 1));
  const right = Buffer.from(signatureOf(value, secret));
  return given.length === right.length && timingSafeEqual(given, right) ? value : null;
}

const signatureOf = (value: string, secret: string): string =>
  createHmac('sha256', secret).update(value).digest('base64url');

/**
 * The secret that signs cookies, kept in the data folder so that people stay signed in over a
 * restart. Only the user that runs the server may read it.
 */
export function secretIn(folder: string): string {
  const file = join(folder, 'secret');
  if (existsSync(file)) {
    chmodSync(file, 0o600);
    return readFileSync(file, 'utf8').trim();
  }
  const secret = randomBytes(32).toString('base64url');
  writeFileSync(file, `${secret}\n`, { mode: 0o600 });
  return secret;
}
