import { randomBytes, type ScryptOptions, scrypt, timingSafeEqual } from 'node:crypto';
import type { PassphraseHash } from '../storage/invite-store.ts';

// OWASP Password Storage Cheat Sheet (from memory): scrypt with N = 2^15, r = 8, p = 3 is among its
// equal choices; it takes 32 MB and some tenths of a second, which guessing pays every time.
const COST: ScryptOptions = { N: 2 ** 15, r: 8, p: 3, maxmem: 64 * 1024 * 1024 };
const HASH_BYTES = 32;

/** The longest passphrase, so that hashing one costs what it should. */
export const MAX_PASSPHRASE = 200;

/** The same passphrase typed on another keyboard may be composed differently. */
const bytesOf = (text: string): Buffer => Buffer.from(text.normalize('NFKC'), 'utf8');

function hashOf(text: string, salt: Buffer): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(bytesOf(text), salt, HASH_BYTES, COST, (cause, hash) => {
      if (cause === null) resolve(hash);
      else reject(cause);
    });
  });
}

/** What is kept of a passphrase. */
export async function hashPassphrase(text: string): Promise<PassphraseHash> {
  const salt = randomBytes(16);
  return { salt, hash: await hashOf(text, salt) };
}

/** Whether a text is the passphrase. */
export async function isPassphrase(text: string, { salt, hash }: PassphraseHash): Promise<boolean> {
  if (text.length > MAX_PASSPHRASE) return false;
  return timingSafeEqual(await hashOf(text, salt), hash);
}
