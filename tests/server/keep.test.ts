import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join as joinPath } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { addNote, readNotes } from '../../core/document/index.ts';
import { systemClock } from '../../server/clock.ts';
import { announce } from '../../server/control/running.ts';
import { openDatabase } from '../../server/storage/database.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { startServer, type TestServer, temporaryFolder } from '../helpers/served.ts';
import { join, saved, stockClient, synced } from '../helpers/sync-client.ts';
import { toldWith } from '../helpers/told.ts';

/** Runs a command as the program would. */
const command = toldWith({});

/** Ids of the notes in a database that no server has open. */
async function notesIn(file: string): Promise<Set<string>> {
  const database = openDatabase(file);
  const store = new SqliteUpdateStore(database, systemClock, new KeptLog());
  const { doc } = await new Rooms(store, new KeptLog()).acquire({
    review: 'demo',
    document: 'notes',
  });
  const ids = new Set(readNotes(doc).map(({ id }) => id));
  database.close();
  return ids;
}

const noteFields = {
  ...{ shot: 'qy-010', draft: 'qy-010-1', frame: null, text: 'A note.' },
  weight: 'should',
  pin: { kind: 'plumb', figure: 'porter' },
  state: 'open',
} as const;

async function generationAt(server: TestServer, cookie: string): Promise<string> {
  const response = await fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });
  return ((await response.json()) as { generation: string }).generation;
}

describe('keep', () => {
  it('copies a running server under load: all that was saved before is in it, nothing is lost', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const writers = await Promise.all(
      Array.from({ length: 3 }, async () =>
        stockClient({ ...server, cookie: await server.joinAs('reviewer'), document: 'notes' }),
      ),
    );
    try {
      await Promise.all(writers.map(synced));
      let busy = true;
      const savedIds = new Set<string>();
      const writing = writers.map(async (client, number) => {
        for (let turn = 1; busy; turn++) {
          const ids = Array.from({ length: 4 }, (_, index) => `n-${number}-${turn}-${index}`);
          for (const id of ids) addNote(client.doc, { id, ...noteFields }, 'test');
          await saved(client, turn);
          for (const id of ids) savedIds.add(id);
        }
      });
      const kept: { file: string; before: string[] }[] = [];
      for (let copy = 0; copy < 3; copy++) {
        const file = joinPath(data, `copy-${copy}.kept`);
        const before = [...savedIds];
        expect(await command('keep', file, '--data', data)).toMatchObject({ code: 0, err: [] });
        kept.push({ file, before });
      }
      busy = false;
      await Promise.all(writing);
      expect(kept.at(-1)?.before.length).toBeGreaterThan(10);
      for (const { file, before } of kept) {
        const ids = await notesIn(file);
        expect(before.filter((id) => !ids.has(id))).toEqual([]);
      }
      await server.close();
      const ids = await notesIn(joinPath(data, 'counterlean.sqlite'));
      expect([...savedIds].filter((id) => !ids.has(id))).toEqual([]);
      expect(server.log.problems).toEqual([]);
    } finally {
      for (const client of writers) client.destroy();
    }
  });

  it('copies a stopped server, for its owner only, and never over a file', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    await server.close();
    // What a server that was killed leaves behind: a word that nobody stands by (port 9: discard).
    announce(data, { url: 'http://127.0.0.1:9', token: 'of one that was killed' });
    const file = joinPath(data, 'one.kept');
    const first = await command('keep', file, '--data', data);
    expect(first.out).toBe(`${file}: 1 review kept, opened and checked.\n`);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    const second = await command('keep', file, '--data', data);
    expect(second).toMatchObject({ code: 2, err: [expect.stringContaining('is there already')] });
    expect(readdirSync(data).filter((name) => /part|keeping/.test(name))).toEqual([]);
  });

  it('says so when there is no data, and when a server has it that does not answer', async () => {
    const nowhere = joinPath(temporaryFolder(), 'nothing');
    const file = joinPath(temporaryFolder(), 'one.kept');
    expect((await command('keep', file, '--data', nowhere)).err.join()).toContain(
      'there is no data',
    );
    const data = temporaryFolder();
    const server = await startServer({ data });
    // What a server that was killed left behind, or one of another user.
    announce(data, { url: server.url, token: 'not the one' });
    const refused = await command('keep', file, '--data', data);
    expect(refused).toMatchObject({ code: 2 });
    expect(existsSync(file)).toBe(false);
  });

  it("is not to be had without the token that only the server's user can read", async () => {
    const data = temporaryFolder();
    await startServer({ data });
    const file = joinPath(data, 'running.json');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    const { url, token } = JSON.parse(readFileSync(file, 'utf8')) as { url: string; token: string };
    expect(new URL(url).hostname).toBe('127.0.0.1');
    for (const headers of [
      {},
      { authorization: 'Bearer x' },
      { authorization: `Bearer ${token}x` },
    ])
      expect((await fetch(`${url}/keep`, { method: 'POST', headers })).status).toBe(401);
  });
});

describe('restore', () => {
  it('brings a kept file back, puts the rest aside and begins a new generation', async () => {
    const data = temporaryFolder();
    const file = joinPath(data, 'one.kept');
    const server = await startServer({ data });
    const cookie = await server.joinAs('reviewer');
    const before = await generationAt(server, cookie);
    await command('keep', file, '--data', data);
    const client = stockClient({ ...server, cookie, document: 'notes' });
    await synced(client);
    addNote(client.doc, { id: 'later', ...noteFields }, 'test');
    await saved(client);
    client.destroy();
    await server.close();

    const restored = await command('restore', file, '--data', data);
    expect(restored.code).toBe(0);
    const [aside] = readdirSync(data).filter((name) => name.startsWith('before-restore-'));
    expect(restored.out).toContain(`What was there before is in ${joinPath(data, aside ?? '?')}.`);
    expect(await notesIn(joinPath(data, aside ?? '?', 'counterlean.sqlite'))).toContain('later');

    const again = await startServer({ data });
    // Signed in as before, and told that it is another history.
    const after = await generationAt(again, cookie);
    expect(after).not.toBe(before);
    await again.close();
    expect(await notesIn(joinPath(data, 'counterlean.sqlite'))).not.toContain('later');
    // The kept file is as it was and can be used again.
    expect((await command('restore', file, '--data', data)).code).toBe(0);
  });

  it('keeps the generation over a mere restart', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const cookie = await server.joinAs('guest');
    const before = await generationAt(server, cookie);
    await server.close();
    expect(await generationAt(await startServer({ data }), cookie)).toBe(before);
  });

  it('refuses while a server runs, and leaves its data alone', async () => {
    const data = temporaryFolder();
    const file = joinPath(data, 'one.kept');
    const server = await startServer({ data });
    await command('keep', file, '--data', data);
    const refused = await command('restore', file, '--data', data);
    expect(refused).toMatchObject({ code: 2, err: [expect.stringContaining('stop it first')] });
    expect(readdirSync(data).filter((name) => /^(before-)?restor/.test(name))).toEqual([]);
    expect((await fetch(`${server.url}/healthz`)).status).toBe(200);
    const cookie = await server.joinAs('guest');
    expect(await generationAt(server, cookie)).not.toBe('');
  });

  it('refuses what is no kept file, is cut off, or is newer than this program', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const file = joinPath(data, 'one.kept');
    await command('keep', file, '--data', data);
    await server.close();
    const own = readFileSync(joinPath(data, 'counterlean.sqlite'));
    const broken = (name: string, bytes: Uint8Array | string): string => {
      const path = joinPath(data, name);
      writeFileSync(path, bytes);
      return path;
    };
    const newer = joinPath(data, 'newer.kept');
    writeFileSync(newer, readFileSync(file));
    const database = new SqliteDatabase(newer);
    database.pragma('user_version = 9999');
    database.close();
    const other = joinPath(data, 'other.kept');
    new SqliteDatabase(other).exec('CREATE TABLE cakes (name TEXT)').close();
    const whole = readFileSync(file);
    for (const path of [
      broken('text.kept', 'not a database at all'),
      broken('cut.kept', whole.subarray(0, whole.length / 2)),
      newer,
      other,
      joinPath(data, 'nowhere.kept'),
    ]) {
      const refused = await command('restore', path, '--data', data);
      expect(refused.code, path).toBe(2);
      expect(refused.err, path).toHaveLength(1);
    }
    expect(readFileSync(joinPath(data, 'counterlean.sqlite')).equals(own)).toBe(true);
  });

  it('works where the data that is there cannot be read any more', async () => {
    const data = temporaryFolder();
    const file = joinPath(data, 'one.kept');
    const server = await startServer({ data });
    await command('keep', file, '--data', data);
    await server.close();
    writeFileSync(joinPath(data, 'counterlean.sqlite'), 'a disk that went bad'.repeat(1000));
    expect((await command('restore', file, '--data', data)).code).toBe(0);
    const aside = readdirSync(data).find((name) => name.startsWith('before-restore-')) ?? '?';
    expect(readFileSync(joinPath(data, aside, 'counterlean.sqlite'), 'utf8')).toContain('went bad');
    await startServer({ data });
  });

  it('works into an empty place', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const file = joinPath(data, 'one.kept');
    await command('keep', file, '--data', data);
    await server.close();
    const fresh = joinPath(temporaryFolder(), 'new');
    mkdirSync(fresh);
    const restored = await command('restore', file, '--data', fresh);
    expect(restored).toMatchObject({ code: 0, out: expect.not.stringContaining('before') });
    await startServer({ data: fresh });
  });
});

describe('lead-link', () => {
  it.each(['a running', 'a stopped'])('makes a new link of %s server', async (which) => {
    const data = temporaryFolder();
    let server = await startServer({ data });
    if (which === 'a stopped') await server.close();
    const said = await command('lead-link', '--data', data);
    expect(said.code).toBe(0);
    const link = said.out.trim();
    expect(link).toMatch(/\/join\/[\w-]{22}$/);
    if (which === 'a stopped') server = await startServer({ data });
    const cookie = await join(server.url + new URL(link).pathname);
    const me = await fetch(`${server.url}/api/reviews/demo/me`, { headers: { cookie } });
    expect(await me.json()).toMatchObject({ person: { role: 'lead' } });
  });

  it('knows no review of another name', async () => {
    const data = temporaryFolder();
    await startServer({ data });
    const said = await command('lead-link', 'none', '--data', data);
    expect(said).toMatchObject({
      code: 2,
      err: ['counterlean: lead-link: there is no review "none"'],
    });
  });
});

describe('the update log', () => {
  it('of a kept file has every row whole', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const file = joinPath(data, 'one.kept');
    await command('keep', file, '--data', data);
    await server.close();
    const database = new SqliteDatabase(file, { readonly: true });
    const rows = database.prepare('SELECT bytes FROM update_log').all() as { bytes: Buffer }[];
    database.close();
    expect(rows.length).toBeGreaterThan(0);
    for (const { bytes } of rows) expect(() => Y.decodeUpdate(bytes)).not.toThrow();
  });
});
