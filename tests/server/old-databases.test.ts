import { copyFileSync, readdirSync, readFileSync } from 'node:fs';
import { join as joinPath } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type * as Y from 'yjs';
import { addNote, readNotes, setDraftTitle } from '../../core/document/index.ts';
import { sign } from '../../server/access/secrets.ts';
import { projectRoot } from '../../server/paths.ts';
import { DATABASE_FILE } from '../../server/storage/database.ts';
import { readMigrations } from '../../server/storage/migrate.ts';
import { DOORS, MADE_AT } from '../fixtures/databases/review.ts';
import { readingOfDocuments } from '../helpers/document-reading.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';
import { join, saved, stockClient, synced } from '../helpers/sync-client.ts';

const FIXTURES = joinPath(projectRoot(), 'tests', 'fixtures', 'databases');
const files = readdirSync(FIXTURES).filter((name) => name.endsWith('.sqlite'));
const cookie = `counterlean=${sign(DOORS.cookie, DOORS.secret)}`;

/** What the documents said to the version that wrote them. */
const toldBy = (file: string): unknown => {
  const [version = ''] = /^\d+\.\d+\.\d+/.exec(file) ?? [];
  return JSON.parse(readFileSync(joinPath(FIXTURES, `${version}.json`), 'utf8'));
};

/** A data folder with a copy of a database. */
function copyOf(file: string): string {
  const data = temporaryFolder();
  copyFileSync(joinPath(FIXTURES, file), joinPath(data, DATABASE_FILE));
  return data;
}

/** A server of the present program an hour after the database was written. */
function startOn(data: string): Promise<TestServer> {
  const clock = new ShiftedClock();
  clock.add(Date.parse(MADE_AT) + 3600 * 1000 - clock.now());
  return startServer({ data, clock, secret: DOORS.secret });
}

/** Follows all documents of the review as Ada, a lead. */
async function windowOn(server: TestServer) {
  const client = (document: 'scenes' | 'notes' | 'record') =>
    stockClient({ ...server, cookie, document });
  const clients = { scenes: client('scenes'), notes: client('notes'), record: client('record') };
  await Promise.all(Object.values(clients).map(synced));
  const docOf = ({ doc }: { doc: Y.Doc }): Y.Doc => doc;
  return {
    ...clients,
    docs: {
      scenes: docOf(clients.scenes),
      notes: docOf(clients.notes),
      record: docOf(clients.record),
    },
    close: () => {
      for (const each of Object.values(clients)) each.destroy();
    },
  };
}

const ask = (server: TestServer, path: string, headers: Record<string, string> = { cookie }) =>
  fetch(`${server.url}/api/reviews/demo${path}`, { headers });

describe.each(files)('the database %s', (file) => {
  it('says all that it said, and takes what is added', async () => {
    const data = copyOf(file);
    const server = await startOn(data);
    const window = await windowOn(server);
    expect(readingOfDocuments(window.docs)).toMatchObject(toldBy(file) as object);
    const pin = { kind: 'shot' } as const;
    const about = { shot: 'crt-0020', draft: 'crt-0020-2', pin, frame: null, weight: 'must' };
    addNote(window.notes.doc, { id: 'new', ...about, text: 'Still here.' } as never, 'test');
    setDraftTitle(window.scenes.doc, 'crt-0020-2', 'taken further', 'test');
    await Promise.all([saved(window.notes), saved(window.scenes)]);
    window.close();
    await server.close();
    expect(server.log.problems).toEqual([]);

    const again = await windowOn(await startOn(data));
    expect(readNotes(again.notes.doc).map(({ id }) => id)).toContain('new');
    const { drafts } = readingOfDocuments(again.docs) as {
      drafts: { id: string; title: string }[];
    };
    expect(drafts.find(({ id }) => id === 'crt-0020-2')?.title).toBe('taken further');
    again.close();
  });

  it('is brought to the present shape, with nothing put aside as broken', async () => {
    const data = copyOf(file);
    const server = await startOn(data);
    (await windowOn(server)).close();
    await server.close();
    const database = new SqliteDatabase(joinPath(data, DATABASE_FILE), { readonly: true });
    const { length } = readMigrations(joinPath(projectRoot(), 'migrations'));
    expect(database.pragma('user_version', { simple: true })).toBe(length);
    expect(database.prepare('SELECT * FROM quarantine').all()).toEqual([]);
    expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(database.pragma('foreign_key_check')).toEqual([]);
    database.close();
  });

  it('lets in whom it let in, and keeps its files and points', async () => {
    const server = await startOn(copyOf(file));
    expect(await (await ask(server, '/me')).json()).toMatchObject({
      person: { id: 'ada', name: 'Ada Fenn', role: 'lead' },
      generation: 'generation-of-it',
    });
    const guest = await join(`${server.url}/join/${DOORS.capability}`);
    expect((await ask(server, '/me', { cookie: guest })).status).toBe(200);
    expect((await ask(server, `/files/${DOORS.picture}`)).status).toBe(200);
    expect(await (await ask(server, '/points/point-of-may')).json()).toMatchObject({
      shots: [{ drafts: [{}, {}] }, {}, {}],
    });
    const headers = { authorization: `Bearer ${DOORS.token}` };
    const hasTokens = !file.includes('-shape-5');
    expect((await ask(server, '/shots', headers)).status).toBe(hasTokens ? 200 : 401);
  });
});

it('has a database of the version that this program says it is', () => {
  const { version } = JSON.parse(readFileSync(joinPath(projectRoot(), 'package.json'), 'utf8'));
  expect(files).toContain(`${version}.sqlite`);
});
