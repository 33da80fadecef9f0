import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { MAX_AGE_MS } from '../../server/access/cookie.ts';
import { RATES } from '../../server/access/limits.ts';
import { MAX_PEOPLE } from '../../server/access/members.ts';
import { UNPACK_LIMITS } from '../../server/record/unpack-review.ts';
import { MAX_FILE_BYTES } from '../../server/routes/files.ts';
import { settingsFrom } from '../../server/settings.ts';
import { MAX_REVIEW_BYTES } from '../../server/storage/file-store.ts';
import { MAX_POINT_BYTES } from '../../server/storage/point-store.ts';
import { MAX_MESSAGE_BYTES } from '../../server/sync/connection.ts';
import { MAX_DOCUMENT_BYTES } from '../../server/sync/room.ts';
import { MAX_SOCKETS_PER_PERSON } from '../../server/sync/traffic.ts';
import { MAX_MEGAPIXELS } from '../../server/uploads/picture.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const text = (path: string): string => readFileSync(join(root, path), 'utf8');

const RUNNING = text('server/RUNNING.md');
const ASVS = text('server/ASVS.md');
const MB = 1024 * 1024;

/** Cells of the table rows of a page. */
const rowsOf = (page: string): string[][] =>
  page
    .split('\n')
    .filter((line) => /^\| (?!---|variable|what|row)/.test(line))
    .map((line) =>
      line
        .split('|')
        .slice(1, -1)
        .map((cell) => cell.trim()),
    );

const settingsIn = (page: string): string[] => [
  ...new Set([...page.matchAll(/\bCOUNTERLEAN_[A-Z_]+/g)].map(([name]) => name)),
];

describe('what is written about running', () => {
  it('names every setting that is read, and no other', () => {
    const read = settingsIn(text('server/settings.ts')).sort();
    const told = rowsOf(RUNNING)
      .map(([name = '']) => name.replaceAll('`', ''))
      .filter((name) => name.startsWith('COUNTERLEAN_'))
      .sort();
    expect(told).toEqual(read);
    for (const file of [
      'Containerfile',
      'counterlean.service',
      'Caddyfile.example',
      'THREATS.md',
    ]) {
      const named = settingsIn(text(`server/${file}`));
      expect(
        named.filter((name) => !read.includes(name)),
        file,
      ).toEqual([]);
    }
  });

  it('has the environment read by the two entries alone', () => {
    const readers = readdirSync(join(root, 'server'), { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts'))
      .filter((file) => text(`server/${file}`).includes('process.env'));
    expect(readers.sort()).toEqual(['cli.ts', 'main.ts']);
  });

  it('has the limits that the server keeps', () => {
    const limits = new Map(rowsOf(RUNNING).map(([what = '', limit = '']) => [what, limit]));
    const rate = ({ burst, perSecond }: { burst: number; perSecond: number }): string =>
      perSecond > 1
        ? `${burst} at once, then ${perSecond} a second`
        : `${burst} at once, then ${Math.round(perSecond * 60)} a minute`;
    const starts: [string, string][] = [
      ['file', `${MAX_FILE_BYTES / MB} MB`],
      ['picture', `${MAX_MEGAPIXELS} megapixels`],
      ['files of a review', `${MAX_REVIEW_BYTES / MB / 1024} GB`],
      [
        'review file that is brought in',
        `${UNPACK_LIMITS.allBytes / MB} MB, packed and unpacked; ${UNPACK_LIMITS.parts} parts of ${UNPACK_LIMITS.partBytes / MB} MB`,
      ],
      ['points of a review', `${MAX_POINT_BYTES / MB} MB`],
      ['people in a review', String(MAX_PEOPLE)],
      ['following links', rate(RATES.joinsPerAddress)],
      ['passphrases', rate(RATES.passphrasesPerAddress)],
      ['passphrases', rate(RATES.passphrasesPerInvite)],
      ['changes by HTTP', rate(RATES.writesPerPerson)],
      ['changes by HTTP', rate(RATES.writesPerAddress)],
      ['files put in', rate(RATES.uploadsPerPerson)],
      ['one sync message', `${MAX_MESSAGE_BYTES / MB} MB`],
      ['one shared document', `${MAX_DOCUMENT_BYTES / MB} MB`],
      ['sockets of a person', String(MAX_SOCKETS_PER_PERSON)],
    ];
    for (const [what, expected] of starts) expect(limits.get(what), what).toContain(expected);
    expect(RUNNING).toContain(`good for ${MAX_AGE_MS / 86_400_000} days`);
  });
});

describe('settings', () => {
  const proxied = { COUNTERLEAN_PUBLIC_URL: 'https://lean.example/', COUNTERLEAN_PROXIES: '1' };

  it('have defaults that open nothing to others', () => {
    expect(settingsFrom({})).toMatchObject({
      ...{ port: 4747, host: '127.0.0.1', data: 'data', publicUrl: null, open: true },
      ...{ secret: null, proxies: 0, logFormat: 'text', metricsToken: null, openId: null },
    });
  });

  it.each([
    [{ COUNTERLEAN_HOST: '0.0.0.0' }],
    [{ COUNTERLEAN_SECRET: 'x'.repeat(32) }],
    [{ COUNTERLEAN_PROXIES: '1' }],
    [{ COUNTERLEAN_PUBLIC_URL: 'https://lean.example' }],
  ])('keep the demo shut with any sign that it is for others: %o', (env) => {
    expect(settingsFrom(env).open).toBe(false);
  });

  it('name a provider whole or not at all', () => {
    const openId = {
      COUNTERLEAN_OIDC_ISSUER: 'https://id.example',
      COUNTERLEAN_OIDC_CLIENT_ID: 'lean',
      COUNTERLEAN_OIDC_ONLY: '1',
    };
    expect(settingsFrom({ ...proxied, ...openId })).toMatchObject({
      publicUrl: 'https://lean.example',
      proxies: 1,
      openId: { issuer: 'https://id.example', clientId: 'lean', clientSecret: null, only: true },
    });
    const { COUNTERLEAN_OIDC_CLIENT_ID: _, ...half } = openId;
    expect(() => settingsFrom({ ...proxied, ...half })).toThrow('COUNTERLEAN_OIDC_CLIENT_ID');
    expect(() => settingsFrom(openId)).toThrow('COUNTERLEAN_PUBLIC_URL');
    const plain = { ...openId, COUNTERLEAN_OIDC_ISSUER: 'http://id.example' };
    expect(() => settingsFrom({ ...proxied, ...plain })).toThrow('https:');
  });

  it.each([
    [{ COUNTERLEAN_PORT: '70000' }, 'COUNTERLEAN_PORT'],
    [{ COUNTERLEAN_PORT: 'http' }, 'COUNTERLEAN_PORT'],
    [{ COUNTERLEAN_PUBLIC_URL: 'lean.example' }, 'COUNTERLEAN_PUBLIC_URL'],
    [{ COUNTERLEAN_PUBLIC_URL: 'javascript:alert(1)' }, 'COUNTERLEAN_PUBLIC_URL'],
    [{ COUNTERLEAN_SECRET: 'short' }, 'COUNTERLEAN_SECRET'],
    [{ COUNTERLEAN_PROXIES: '-1' }, 'COUNTERLEAN_PROXIES'],
    [{ COUNTERLEAN_LOG: 'xml' }, 'COUNTERLEAN_LOG'],
  ])('that cannot be used are named: %o', (env, name) => {
    expect(() => settingsFrom(env)).toThrow(name);
  });
});

describe('packaging', () => {
  it('of the container copies what is there, no history of the sources, and runs as nobody special', () => {
    const file = text('server/Containerfile');
    const copied = [...file.matchAll(/^COPY (?!--from)(.+) \S+$/gm)]
      .flatMap(([, paths = '']) => paths.split(' '))
      .filter((path) => path !== '');
    expect(copied.length).toBeGreaterThan(5);
    const letIn = text('server/Containerfile.dockerignore').split('\n');
    for (const path of copied) {
      expect(existsSync(join(root, path)), path).toBe(true);
      expect(letIn, path).toContain(`!${path}`);
    }
    expect(letIn).toContain('*');
    expect(file).not.toMatch(/\.git\b/);
    expect(file).toMatch(/^USER node$/m);
    expect(file).toContain('/readyz');
  });

  it('of the unit keeps it from the rest of the machine, and gives it time to stop', () => {
    const unit = text('server/counterlean.service');
    for (const line of [
      'NoNewPrivileges=yes',
      'ProtectSystem=strict',
      'CapabilityBoundingSet=',
      'StateDirectory=counterlean',
      'ExecStart=/usr/bin/node dist/server/main.js',
    ]) {
      expect(unit.split('\n')).toContain(line);
    }
    // Requests get 5 seconds, then everything is written down.
    expect(Number(/^TimeoutStopSec=(\d+)$/m.exec(unit)?.[1])).toBeGreaterThanOrEqual(10);
  });

  it('of the proxy lets through the largest file and hides the numbers', () => {
    const proxy = text('server/Caddyfile.example');
    expect(Number(/max_size (\d+)MB/.exec(proxy)?.[1])).toBeGreaterThan(MAX_FILE_BYTES / MB);
    expect(proxy).toContain('@metrics path /metrics');
  });

  it('starts programs nowhere but in the starters', () => {
    const starting = readdirSync(join(root, 'server'), { recursive: true, encoding: 'utf8' })
      .filter((file) => /\.m?ts$|\.mjs$/.test(file))
      .filter((file) => /child_process|\beval\(|new Function/.test(text(`server/${file}`)));
    expect(starting.sort()).toEqual(['counterlean.mjs', 'setup.mjs', 'start.mjs']);
  });
});

describe('the table against OWASP ASVS 5.0', () => {
  // Level 1 of version 5.0.0, from the published table (github.com/OWASP/ASVS, 5.0/docs_en, csv).
  const LEVEL_1 = [
    ...['1.2.1', '1.2.2', '1.2.3', '1.2.4', '1.2.5', '1.3.1', '1.3.2', '1.5.1', '2.1.1', '2.2.1'],
    ...['2.2.2', '2.3.1', '3.2.1', '3.2.2', '3.3.1', '3.4.1', '3.4.2', '3.5.1', '3.5.2', '3.5.3'],
    ...['4.1.1', '4.4.1', '5.2.1', '5.2.2', '5.3.1', '5.3.2', '6.1.1', '6.2.1', '6.2.2', '6.2.3'],
    ...['6.2.4', '6.2.5', '6.2.6', '6.2.7', '6.2.8', '6.3.1', '6.3.2', '6.4.1', '6.4.2', '7.2.1'],
    ...['7.2.2', '7.2.3', '7.2.4', '7.4.1', '7.4.2', '8.1.1', '8.2.1', '8.2.2', '8.3.1', '9.1.1'],
    ...['9.1.2', '9.1.3', '9.2.1', '10.4.1', '10.4.2', '10.4.3', '10.4.4', '10.4.5', '11.3.1'],
    ...['11.3.2', '11.4.1', '12.1.1', '12.2.1', '12.2.2', '13.4.1', '14.2.1', '14.3.1', '15.1.1'],
    ...['15.2.1', '15.3.1'],
  ];

  it('has every row of level 1', () => {
    expect(LEVEL_1).toHaveLength(70);
    const named = ASVS.replace('10.4.1 to 10.4.5', '10.4.1, 10.4.2, 10.4.3, 10.4.4, 10.4.5');
    const rows = new Set(rowsOf(named).flatMap(([row = '']) => row.split(', ')));
    expect(LEVEL_1.filter((row) => !rows.has(row))).toEqual([]);
  });

  it('names tests that are there', () => {
    const named = [...ASVS.matchAll(/`(tests\/[^`]+)`/g)].map(([, file = '']) => file);
    expect(named.length).toBeGreaterThan(60);
    expect(named.filter((file) => !existsSync(join(root, file)))).toEqual([]);
  });

  it('leaves no row that applies without its test or its word', () => {
    const rows = rowsOf(ASVS).filter((cells) => cells.length === 5);
    expect(rows.length).toBeGreaterThan(60);
    expect(rows.filter((cells) => cells.some((cell) => cell === ''))).toEqual([]);
  });
});
