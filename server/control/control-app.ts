import { timingSafeEqual } from 'node:crypto';
import { createReadStream, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import type { Database } from 'better-sqlite3';
import { Hono } from 'hono';
import { makeId } from '../access/secrets.ts';
import type { Log } from '../log.ts';
import type { InviteStore } from '../storage/invite-store.ts';
import { copyDatabase } from '../storage/kept.ts';
import type { ReviewStore } from '../storage/review-store.ts';

export interface ControlDeps {
  readonly data: string;
  readonly database: Database;
  readonly reviews: ReviewStore;
  readonly invites: InviteStore;
  readonly log: Log;
  readonly token: string;
  /** A review as a review file; null where there is no such review. */
  readonly reviewFile: (review: string) => Promise<ReadableStream<Uint8Array> | null>;
  /** Makes the address of an invite. */
  readonly linkOf: (capability: string) => string;
}

/**
 * What the commands of this machine may ask of a running server: a copy of its data, and a new lead
 * link. Served on a loopback port of its own, so that no proxy of the public one can lead here.
 */
export function controlApp(deps: ControlDeps): Hono {
  const { data, database, reviews, invites, log } = deps;
  return new Hono()
    .use(async (context, next) => {
      if (!isSame(context.req.header('authorization') ?? '', `Bearer ${deps.token}`)) {
        return context.json({ error: 'wrong token' }, 401);
      }
      return next();
    })
    .get('/', (context) => context.json({ ok: true }))
    .post('/keep', async (context) => {
      const file = join(data, `keeping-${makeId()}.sqlite`);
      const remove = (): void => {
        for (const end of ['', '-journal', '-wal', '-shm']) rmSync(file + end, { force: true });
      };
      try {
        await copyDatabase(database, file);
      } catch (cause) {
        remove();
        log.problem('The data could not be copied.', cause);
        return context.json({ error: 'the data could not be copied; see the log' }, 500);
      }
      const stream = createReadStream(file);
      stream.once('close', remove);
      log.info('The data was copied for a keep.');
      return context.body(Readable.toWeb(stream) as ReadableStream, 200, {
        'Content-Length': String(statSync(file).size),
      });
    })
    .post('/review-file/:review', async (context) => {
      const review = context.req.param('review');
      const stream = await deps.reviewFile(review);
      if (stream === null) return context.json({ error: `there is no review "${review}"` }, 404);
      return context.body(stream, 200, { 'Content-Type': 'application/zip' });
    })
    .post('/lead-link/:review', (context) => {
      const review = context.req.param('review');
      if (reviews.review(review) === null) {
        return context.json({ error: `there is no review "${review}"` }, 404);
      }
      log.info('A new lead link was made on this machine.');
      const { capability } = invites.add(review, 'lead');
      return context.json({ link: deps.linkOf(capability) });
    });
}

function isSame(given: string, right: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(right)];
  return a.length === b.length && timingSafeEqual(a, b);
}
