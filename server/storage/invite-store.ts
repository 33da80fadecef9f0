import type { Database } from 'better-sqlite3';
import type { Role } from '../../core/protocol/roles.ts';
import { hashOf, makeCapability, makeId } from '../access/secrets.ts';
import { type Clock, timeOf } from '../clock.ts';

/** A passphrase as it is kept; access/passphrase.ts makes and checks it. */
export interface PassphraseHash {
  readonly salt: Buffer;
  readonly hash: Buffer;
}

/** What an invite link is good for. */
export interface Terms {
  /** ISO 8601; null: for ever. */
  readonly expiresAt: string | null;
  /** How many people may come by it; null: any number. */
  readonly maxUses: number | null;
  readonly passphrase: PassphraseHash | null;
}

export interface Invite {
  readonly id: string;
  readonly role: Role;
  readonly createdAt: string;
  readonly expiresAt: string | null;
  readonly maxUses: number | null;
  /** How many people have come by it. */
  readonly uses: number;
  readonly hasPassphrase: boolean;
}

/** A new invite with its capability, which is not kept and cannot be read again. */
export interface NewInvite extends Invite {
  readonly capability: string;
}

/** What a capability opens. */
export interface Opened {
  readonly id: string;
  readonly review: string;
  readonly role: Role;
  readonly maxUses: number | null;
  readonly passphrase: PassphraseHash | null;
}

const NO_TERMS: Terms = { expiresAt: null, maxUses: null, passphrase: null };

/** Invite links of reviews. */
export class InviteStore {
  readonly #database: Database;
  readonly #clock: Clock;

  constructor(database: Database, clock: Clock) {
    this.#database = database;
    this.#clock = clock;
  }

  list(review: string): Invite[] {
    const rows = this.#database
      .prepare(
        `SELECT id, role, created_at AS createdAt, expires_at AS expiresAt, max_uses AS maxUses,
           uses, passphrase_hash IS NOT NULL AS hasPassphrase
         FROM invites WHERE review = ? ORDER BY rowid`,
      )
      .all(review) as (Omit<Invite, 'hasPassphrase'> & { hasPassphrase: number })[];
    return rows.map((row) => ({ ...row, hasPassphrase: row.hasPassphrase === 1 }));
  }

  add(review: string, role: Role, terms: Terms = NO_TERMS): NewInvite {
    const { expiresAt, maxUses, passphrase } = terms;
    const capability = makeCapability();
    const invite = { id: makeId(), role, createdAt: timeOf(this.#clock), expiresAt, maxUses };
    this.#database
      .prepare(
        `INSERT INTO invites (id, review, role, capability_hash, created_at, expires_at, max_uses,
           passphrase_salt, passphrase_hash)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        ...[invite.id, review, role, hashOf(capability), invite.createdAt, expiresAt, maxUses],
        ...[passphrase?.salt ?? null, passphrase?.hash ?? null],
      );
    return { ...invite, uses: 0, hasPassphrase: passphrase !== null, capability };
  }

  remove(review: string, id: string): boolean {
    const { changes } = this.#database
      .prepare('DELETE FROM invites WHERE id = ? AND review = ?')
      .run(id, review);
    return changes > 0;
  }

  /** What a capability opens; null if it is unknown, was taken back or has expired. */
  opens(capability: string): Opened | null {
    const row = this.#database
      .prepare(
        `SELECT id, review, role, max_uses AS maxUses, expires_at AS expiresAt,
           passphrase_salt AS salt, passphrase_hash AS hash
         FROM invites WHERE capability_hash = ?`,
      )
      .get(hashOf(capability)) as
      | (Omit<Opened, 'passphrase'> & {
          expiresAt: string | null;
          salt: Buffer | null;
          hash: Buffer | null;
        })
      | undefined;
    if (row === undefined) return null;
    const { expiresAt, salt, hash, ...opened } = row;
    if (expiresAt !== null && Date.parse(expiresAt) <= this.#clock.now()) return null;
    return { ...opened, passphrase: salt === null || hash === null ? null : { salt, hash } };
  }

  /** Counts one more person. False, and nothing is counted, when as many came as may. */
  use(id: string): boolean {
    const { changes } = this.#database
      .prepare(
        `UPDATE invites SET uses = uses + 1
         WHERE id = ? AND (max_uses IS NULL OR uses < max_uses)`,
      )
      .run(id);
    return changes > 0;
  }
}
