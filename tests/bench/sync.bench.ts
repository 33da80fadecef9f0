import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as joinPath } from 'node:path';
import * as Y from 'yjs';
import { assess } from '../../core/balance/index.ts';
import {
  draftEntries,
  jointKey,
  readDrafts,
  readScene,
  readShots,
  setEntries,
} from '../../core/document/index.ts';
import { serve } from '../../server/serve.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { random } from '../helpers/random.ts';
import { docUntil, join, saved, stockClient, synced } from '../helpers/sync-client.ts';
import { type BenchRow, spread } from './rows.ts';

const USER = { source: 'user' } as const;
const SEED = 2025;
const TURNS = 10_000;
const EDITS = 200;
const JOINTS = ['chest', 'abdomen', 'thighL', 'thighR', 'upperArmL', 'upperArmR'] as const;

/** Sizes and delays of shared editing, over a real server on loopback. */
export async function run(): Promise<BenchRow[]> {
  return [...documentSize(), ...(await editToReport())];
}

/**
 * What a document weighs after ten thousand joint turns, against one with the end alone. Each turn is
 * of another joint than the one before, which is the worst case: turns of one joint in a row merge.
 */
function documentSize(): BenchRow[] {
  const draw = random(SEED);
  const doc = new Y.Doc();
  for (let turn = 0; turn < TURNS; turn++) {
    const joint = JOINTS[turn % JOINTS.length]!;
    setEntries(doc, 'pose', { [jointKey('f', joint)]: quaternion(draw) }, USER);
  }
  const fresh = new Y.Doc();
  setEntries(fresh, 'pose', draftEntries(doc, 'pose').toJSON(), USER);
  const size = Y.encodeStateAsUpdate(doc).byteLength;
  const least = Y.encodeStateAsUpdate(fresh).byteLength;
  return [
    {
      name: `document after ${TURNS} joint turns (seed ${SEED})`,
      value: size,
      unit: 'bytes',
      ratio: size / least,
      peer: 'a document with the last turns alone',
    },
  ];
}

/** From an edit in one window to the balance report in another, and to "saved" in the first. */
async function editToReport(): Promise<BenchRow[]> {
  const data = mkdtempSync(joinPath(tmpdir(), 'counterlean-bench-'));
  const server = await serve({ data, log: new KeptLog() });
  const cookie = await join(`${server.url}/`);
  const place = { url: server.url, cookie, document: 'scenes' as const };
  const a = stockClient(place);
  const b = stockClient(place);
  try {
    await Promise.all([synced(a), synced(b)]);
    const shot = readShots(a.doc)[0]!;
    const draft = readDrafts(a.doc, shot.id)[0]!.id;
    const figure = readScene(a.doc, draft).figures[0]!.id;
    const draw = random(SEED);
    const toReport: number[] = [];
    const toSaved: number[] = [];
    const weighing: number[] = [];
    for (let edit = 0; edit < EDITS; edit++) {
      const key = jointKey(figure, JOINTS[edit % JOINTS.length]!);
      const value = quaternion(draw);
      const arrived = docUntil(
        b.doc,
        () => JSON.stringify(draftEntries(b.doc, draft).get(key)) === JSON.stringify(value),
        'the turn in the other window',
      );
      const start = performance.now();
      setEntries(a.doc, draft, { [key]: value }, USER);
      const durable = saved(a, edit + 1).then(() => toSaved.push(performance.now() - start));
      await arrived;
      const before = performance.now();
      assess(readScene(b.doc, draft));
      const now = performance.now();
      toReport.push(now - start);
      weighing.push(now - before);
      await durable;
    }
    const [report, disk, weigh] = [spread(toReport), spread(toSaved), spread(weighing)];
    return [
      {
        name: 'edit in one window to report in another, p50',
        value: report.median,
        unit: 'ms',
        ratio: report.median / weigh.median,
        peer: 'the report alone',
      },
      { name: 'edit in one window to report in another, p95', value: report.p95, unit: 'ms' },
      { name: 'edit to saved on disk, p50', value: disk.median, unit: 'ms' },
      { name: 'edit to saved on disk, p95', value: disk.p95, unit: 'ms' },
    ];
  } finally {
    for (const client of [a, b]) {
      client.destroy();
      // Ends the timer of its awareness, which would keep the process alive.
      client.doc.destroy();
    }
    await server.close();
    rmSync(data, { recursive: true, force: true });
  }
}

/** A turn of up to half a radian about a random axis. */
function quaternion(draw: () => number): number[] {
  const axis = [draw() - 0.5, draw() - 0.5, draw() - 0.5];
  const length = Math.hypot(...axis) || 1;
  const half = (draw() - 0.5) / 2;
  return [...axis.map((part) => (part / length) * Math.sin(half)), Math.cos(half)];
}
