import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import * as Y from 'yjs';
import { callsMap } from '../../core/document/index.ts';
import { SHEET_CAUTION } from '../../core/sheet/index.ts';
import { run } from '../../server/cli.ts';
import { makeSheet } from '../../server/sheet/make-sheet.ts';
import { startServer, temporaryFolder } from '../helpers/served.ts';
import { toldReview } from '../helpers/told-review.ts';

// poppler (Debian's poppler-utils) reads the PDFs back: it shares nothing with what writes them.
const hasReader = spawnSync('pdftotext', ['-v']).error === undefined;
if (!hasReader) console.log('skipped: no pdftotext here (apt-get install poppler-utils)');

interface Read {
  readonly pages: readonly string[];
  readonly size: string;
}

function readBack(bytes: Uint8Array): Read {
  const folder = mkdtempSync(join(tmpdir(), 'counterlean-sheet-'));
  try {
    const file = join(folder, 'sheet.pdf');
    writeFileSync(file, bytes);
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
    const info = execFileSync('pdfinfo', [file], { encoding: 'utf8' });
    const pages = text.split('\f').slice(0, -1);
    const count = Number(/^Pages:\s+(\d+)/m.exec(info)?.[1]);
    expect(pages).toHaveLength(count);
    return { pages, size: /^Page size:\s+(.*)$/m.exec(info)?.[1] ?? '' };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const sourceOf = (count: number) => {
  const { scenes, notes, record } = toldReview(count);
  const state = Y.encodeStateAsUpdate;
  return {
    documents: { scenes: state(scenes), notes: state(notes), record: state(record) },
    ...{ clips: new Map(), shots: null, at: Date.UTC(2031, 4, 13, 8, 0, 0) },
  };
};

describe.skipIf(!hasReader)('the review sheet', () => {
  it('says what was there, drawn, weighed, decided and noted, in that order', async () => {
    const { pages, size } = readBack(await makeSheet({ ...sourceOf(2), paper: 'a4' }));
    expect(size).toMatch(/595.* x 841.*A4/);
    const [cover = '', first = '', second = ''] = pages;
    expect(pages).toHaveLength(3);
    expect(cover).toContain('Łódź by night');
    expect(cover).toMatch(/Made 13 May 2031, 08:00 UTC/);
    expect(cover).toMatch(/Ada Fenn, lead; here on 12 May 2031/);
    expect(cover).toMatch(/QY-0001\s+Shot number 1\s+for review\s+teeters, \+1\.2.cm\s+2\n/);
    expect(cover).toMatch(/QY-0002\s+Shot number 2\s+for review\s+3\n/);
    const said = [
      'QY-0001 Shot number 1',
      'assigned to Ada Fenn; due 1 Jun 2031',
      'holds',
      'Margin over the drafts',
      'Decisions',
      '12 May 2031, 09:30 UTC: Ada Fenn set it from in work to for review, draft 1: teeters',
      'Notes',
      'Ada Fenn; 12 May 2031, 09:10 UTC; draft 1; frame 12; left hand of Figure; must',
      'Hips back, =hand first.',
      'answered (Bo Marl, 12 May 2031, 09:21 UTC)',
      'Back they go.',
    ];
    const flat = first.replace(/\s+/g, ' ');
    const places = said.map((words) => flat.indexOf(words));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(places).not.toContain(-1);
    expect(second).toContain('QY-0002');
    for (const [index, page] of pages.entries()) {
      expect(page.replace(/\s+/g, ' ')).toContain(SHEET_CAUTION);
      expect(page).toContain(`${index + 1} of 3`);
    }
  });

  it('of 200 shots arrives whole, each on the page that the contents name', async () => {
    const told: number[] = [];
    const bytes = await makeSheet({ ...sourceOf(200), paper: 'letter' }, (done, of) => {
      told.push(done);
      expect(of).toBe(200);
    });
    expect(told).toEqual(Array.from({ length: 201 }, (_, index) => index));
    const { pages, size } = readBack(bytes);
    expect(size).toMatch(/612 x 792.*letter/i);
    const listed = new Map<string, number>();
    for (const page of pages) {
      for (const [, code = '', number] of page.matchAll(
        /^ *(QY-\d{4})\s+Shot .* for review .*?(\d+)$/gm,
      )) {
        listed.set(code, Number(number));
      }
    }
    expect(listed.size).toBe(200);
    for (const [code, number] of listed) expect(pages[number - 1]).toContain(`${code} Shot number`);
    expect(pages.at(-1)).toContain(`${pages.length} of ${pages.length}`);
  }, 180_000);

  it('holds only the shots that are asked for', async () => {
    const source = { ...sourceOf(3), shots: ['s2'], paper: 'a4' as const };
    const { pages } = readBack(await makeSheet(source));
    expect(pages.join('')).toContain('QY-0002');
    expect(pages.join('')).not.toMatch(/QY-0001|QY-0003/);
  });

  it('shows no reading of a shot while people make the call on it', async () => {
    const { scenes, notes, record } = toldReview(1);
    const terms = { shot: 's1', draft: 's1-1', frame: null, by: 'ada', guests: true };
    callsMap(record).set('c1', { ...terms, state: 'open', at: '2031-05-12T10:00:00.000Z' });
    const state = Y.encodeStateAsUpdate;
    const documents = { scenes: state(scenes), notes: state(notes), record: state(record) };
    const textOf = async (source: Parameters<typeof makeSheet>[0]): Promise<string> =>
      readBack(await makeSheet(source))
        .pages.join('')
        .replace(/\s+/g, ' ');
    const hidden = await textOf({ ...sourceOf(1), documents, paper: 'a4' });
    expect(hidden).toContain('Its readings are hidden while the call is made');
    const shown = await textOf({ ...sourceOf(1), paper: 'a4' });
    for (const telling of [/centre \d/i, /teeters/, /\bholds\b/, /\d\.\d.cm/, /plumb line/]) {
      expect(shown).toMatch(telling);
      expect(hidden).not.toMatch(telling);
    }
  });

  it('is made over HTTP beside everything else, for whoever asked', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const base = `${server.url}/api/reviews/demo/sheets`;
    const headers = { cookie, 'content-type': 'application/json' };
    const begin = await fetch(base, { method: 'POST', headers, body: '{"paper":"a4"}' });
    expect(begin.status).toBe(202);
    const { id } = (await begin.json()) as { id: string };
    const other = await server.joinAs('lead');
    expect((await fetch(`${base}/${id}`, { headers: { cookie: other } })).status).toBe(404);
    const made = async (): Promise<string> => {
      const { state } = (await (await fetch(`${base}/${id}`, { headers })).json()) as {
        state: string;
      };
      return state === 'waiting' || state === 'working' ? made() : state;
    };
    expect(await made()).toBe('made');
    const answer = await fetch(`${base}/${id}/sheet.pdf`, { headers });
    expect(answer.headers.get('content-type')).toBe('application/pdf');
    const { pages } = readBack(new Uint8Array(await answer.arrayBuffer()));
    expect(pages.join('')).toContain('QY 010');
    // Of four more the last is refused; one is given up before it is made, and makes room for another.
    const more = async (): Promise<Response> =>
      fetch(base, { method: 'POST', headers, body: '{}' });
    const asked = [await more(), await more(), await more(), await more()];
    expect(asked.map(({ status }) => status)).toEqual([202, 202, 202, 409]);
    const { id: second } = (await asked[1]!.json()) as { id: string };
    const drop = await fetch(`${base}/${second}`, { method: 'DELETE', headers: { cookie } });
    expect(drop.status).toBe(204);
    expect((await fetch(`${base}/${second}`, { headers })).status).toBe(404);
    expect((await more()).status).toBe(202);
  }, 120_000);

  it('is made by a command, while the server runs and after it', async () => {
    const data = temporaryFolder();
    const server = await startServer({ data });
    const out: string[] = [];
    const io = {
      out: (text: string) => void out.push(text),
      err: (line: string) => void out.push(line),
      readText: () => Promise.reject(new Error('not read')),
      readBytes: () => Promise.reject(new Error('not read')),
      writeText: () => Promise.resolve(),
    };
    const folder = mkdtempSync(join(tmpdir(), 'counterlean-command-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    const cookie = await server.joinAs('guest');
    const whole = await fetch(`${server.url}/api/reviews/demo/record/review.zip`, {
      headers: { cookie },
    });
    const zip = join(folder, 'review.zip');
    writeFileSync(zip, new Uint8Array(await whole.arrayBuffer()));
    const sheet = join(folder, 'from.pdf');
    expect(await run(['sheet', sheet, '--from', zip], io)).toBe(0);
    expect(execFileSync('pdftotext', [sheet, '-'], { encoding: 'utf8' })).toContain('QY 010');
    writeFileSync(zip, 'no archive');
    expect(await run(['sheet', sheet, '--from', zip], io)).toBe(2);
    expect(out.at(-1)).toContain('no review file');
    for (const name of ['running', 'stopped']) {
      const file = join(folder, `${name}.pdf`);
      expect(await run(['sheet', file, '--data', data, '--paper', 'letter'], io)).toBe(0);
      expect(out.at(-1)).toBe(`${file}: the sheet of 1 shot.\n`);
      expect(execFileSync('pdftotext', [file, '-'], { encoding: 'utf8' })).toContain('QY 010');
      if (name === 'running') await server.close();
    }
    expect(await run(['sheet', join(folder, 'x.pdf'), '--data', data, '--review', 'no'], io)).toBe(
      2,
    );
    expect(out.at(-1)).toContain('there is no review "no"');
  }, 120_000);
});
