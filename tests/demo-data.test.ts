import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  assess,
  type BalanceReport,
  type FigureReading,
  type GroupReading,
  type Verdict,
} from '../core/balance/index.ts';
import { buildBody } from '../core/body/index.ts';
import {
  bvhJointPositions,
  readBvh,
  readClip,
  readSceneJson,
  writeSceneJson,
} from '../core/formats/index.ts';
import { lowestPoint, poseFigure } from '../core/pose/index.ts';
import type { Scene } from '../core/scene/index.ts';
import { ferrymanRises } from '../demo-data/clips.ts';
import { demoReview } from '../demo-data/index.ts';
import { poseOf } from '../demo-data/poses.ts';
import { risingAt } from '../demo-data/shots/ben-0110.ts';

const review = demoReview();

const reports = new Map<string, { scene: Scene; report: BalanceReport }>();
for (const shot of review.shots) {
  for (const [i, { scene }] of shot.drafts.entries())
    reports.set(`${shot.code} ${i + 1}`, { scene, report: assess(scene) });
}

type Seen = GroupReading | FigureReading;

interface Expected {
  /** Code and draft, e.g. "SLT-0040 1". */
  readonly draft: string;
  /** A figure alone; left out: its group (the first with a figure). */
  readonly alone?: string;
  readonly verdict?: Verdict;
  /** Where the line lands along the foot, %. */
  readonly foot?: number;
  /** Distance to the edge in cm, negative outside. */
  readonly margin?: number;
  /** Any other length that the outcome names, cm. */
  readonly length?: readonly [
    name: string,
    of: (seen: Seen, report: BalanceReport) => number,
    cm: number,
  ];
}

/*
 * What each draft must come to. Source: a planar reckoning of our own made before this body existed
 * (men's and women's de Leva 1996 tables, stiff trunk, flat feet; no arms before or behind the
 * trunk); the demo's brief sets the tolerance of 2 % of the foot and 1 cm. Verdicts: "holdable" is
 * 10-80 % of the foot there; here it is the published functional outline, so a line near its border
 * may come to another verdict, which is then the one named here.
 */
const FOOT_TOLERANCE = 2;
const CM_TOLERANCE = 1;

const z = ({ plumb }: Seen): number => (plumb?.[1] ?? Number.NaN) * 100;
const height = ({ centre }: Seen): number => (centre?.[1] ?? Number.NaN) * 100;
const toesAhead = (seen: Seen): number =>
  Math.max(...seen.support.polygon.map((point) => point[1])) * 100 - z(seen);
const fromRightAnkle = ({ plumb }: Seen): number => Math.abs(plumb?.[0] ?? Number.NaN) * 100;

const EXPECTED: readonly Expected[] = [
  { draft: 'SLT-0040 1', foot: -1, margin: -0.2, verdict: 'falls' },
  { draft: 'SLT-0040 2', foot: 10, verdict: 'teeters' },
  { draft: 'SLT-0040 3', foot: 33, verdict: 'holds' },
  { draft: 'SLT-0040 4', foot: 47, verdict: 'holds' },

  { draft: 'PUL-0010 1', verdict: 'falls' },
  { draft: 'PUL-0010 2', length: ['line before his ankles', z, 21], verdict: 'holds' },
  { draft: 'PUL-0010 2', alone: 'lockman', margin: -11, verdict: 'held' },
  { draft: 'PUL-0010 2', alone: 'millgirl', margin: -21, verdict: 'held' },

  { draft: 'DIP-0070 1', foot: 162, margin: -17, verdict: 'falls' },
  { draft: 'DIP-0070 1', alone: 'he', foot: 80 },
  { draft: 'DIP-0070 2', foot: 35, verdict: 'holds' },
  { draft: 'DIP-0070 2', alone: 'he', foot: -31, verdict: 'held' },
  { draft: 'DIP-0070 3', length: ['line before the rear ankle', z, 92], verdict: 'holds' },
  {
    draft: 'DIP-0070 3',
    alone: 'he',
    length: ['line before the rear ankle', z, 71],
    verdict: 'holds',
  },

  { draft: 'CRT-0020 1', foot: 84, verdict: 'teeters' },
  { draft: 'CRT-0020 2', foot: 69, verdict: 'holds' },
  { draft: 'CRT-0020 3', foot: 65, verdict: 'holds' },
  { draft: 'CRT-0020 4', foot: 46, verdict: 'holds' },

  { draft: 'KEY-0030 1', foot: 123, margin: -6, verdict: 'falls' },
  { draft: 'KEY-0030 2', foot: 80 },
  { draft: 'KEY-0030 3', foot: 45, verdict: 'holds' },

  { draft: 'BEN-0110 1', foot: -70, margin: -18, verdict: 'falls' },
  { draft: 'BEN-0110 2', foot: -69, verdict: 'holds' },
  { draft: 'BEN-0110 3', foot: -9, verdict: 'holds' },
  { draft: 'BEN-0110 4', foot: 13 },
  { draft: 'BEN-0110 5', foot: 29, verdict: 'holds' },
  { draft: 'BEN-0110 6', foot: 25, verdict: 'holds' },
  { draft: 'BEN-0110 7', foot: 36, verdict: 'holds' },

  {
    draft: 'LMP-0060 1',
    margin: -3.9,
    length: ['line from the ankle', fromRightAnkle, 8.3],
    verdict: 'falls',
  },
  { draft: 'LMP-0060 2', margin: -6.6, verdict: 'falls' },
  {
    draft: 'LMP-0060 3',
    margin: 3,
    length: ['line from the ankle', fromRightAnkle, 1.3],
    verdict: 'holds',
  },
  {
    draft: 'LMP-0060 4',
    margin: 3,
    length: ['line from the ankle', fromRightAnkle, 1.3],
    verdict: 'holds',
  },

  { draft: 'LIN-0090 1', margin: 4.8 },
  { draft: 'LIN-0090 2', margin: 4.8, verdict: 'holds' },
  { draft: 'LIN-0090 3', margin: 4.8 - 2.5, verdict: 'holds' },
  { draft: 'LIN-0090 4', margin: 1 - 2.5, verdict: 'falls' },
  { draft: 'LIN-0090 5', margin: 1, verdict: 'holds' },

  { draft: 'NST-0050 1', foot: 104, verdict: 'falls' },
  { draft: 'NST-0050 2', foot: 85, verdict: 'teeters' },
  { draft: 'NST-0050 3', foot: 94, verdict: 'teeters' },
  { draft: 'NST-0050 4', foot: 103, verdict: 'falls' },
  { draft: 'NST-0050 5', foot: 55, verdict: 'holds' },
  { draft: 'NST-0050 6', foot: 76 },
  { draft: 'NST-0050 7', verdict: 'holds' },
  { draft: 'NST-0050 7', alone: 'gatherer', foot: 94 },

  // 55 N at 1.20 m tips her back and 68 N forward: 11.2 cm and 13.9 cm of room at 60 kg.
  {
    draft: 'GRD-0030 1',
    alone: 'guard',
    margin: 11.2,
    length: ['room to the toes', toesAhead, 13.9],
    verdict: 'holds',
  },
  // Centre at 0.79 m; 303 N and 106 N share the 70 cm between the edges as 52 and 18.
  { draft: 'GRD-0030 2', alone: 'guard', length: ['height of the centre', height, 79] },
  {
    draft: 'GRD-0030 2',
    alone: 'guard',
    length: ['room to the toes', toesAhead, 18.2],
    verdict: 'holds',
  },
  { draft: 'GRD-0030 3', alone: 'guard', margin: 1, verdict: 'teeters' },
  {
    draft: 'GRD-0030 3',
    alone: 'z-apprentice',
    length: ['height of the centre', height, 49 * 1.1],
  },
];

function seenIn({ draft, alone }: Expected): { seen: Seen; report: BalanceReport } {
  const found = reports.get(draft);
  if (found === undefined) throw new Error(`the demo has no ${draft}`);
  const { report } = found;
  const seen =
    alone === undefined
      ? report.groups.find(({ id }) => report.figures.some(({ group }) => group === id))
      : report.figures.find(({ figure }) => figure === alone);
  if (seen === undefined) throw new Error(`${draft} has no reading of ${alone ?? 'a group'}`);
  return { seen, report };
}

describe('the demo review', () => {
  it('comes to what its shots are about', () => {
    const rows: string[] = [];
    let wrong = 0;
    for (const expected of EXPECTED) {
      const { seen, report } = seenIn(expected);
      const row = (what: string, wanted: number | string, got: number | string, off: boolean) => {
        if (off) wrong++;
        const show = (v: number | string) => (typeof v === 'number' ? v.toFixed(1) : v).padStart(8);
        rows.push(
          `${off ? '>>' : '  '} ${expected.draft} ${(expected.alone ?? '').padEnd(12)} ${what.padEnd(28)} wanted ${show(wanted)}  got ${show(got)}`,
        );
      };
      const near = (a: number, b: number, tolerance: number) => Math.abs(a - b) <= tolerance;
      if (expected.verdict !== undefined)
        row('verdict', expected.verdict, seen.verdict, seen.verdict !== expected.verdict);
      if (expected.foot !== undefined) {
        const foot = (seen.footPosition ?? Number.NaN) * 100;
        row('% of foot', expected.foot, foot, !near(foot, expected.foot, FOOT_TOLERANCE));
      }
      if (expected.margin !== undefined) {
        const cm = (seen.margin?.distance ?? Number.NaN) * 100;
        row('cm to the edge', expected.margin, cm, !near(cm, expected.margin, CM_TOLERANCE));
      }
      if (expected.length !== undefined) {
        const [name, of, wanted] = expected.length;
        const cm = of(seen, report);
        row(`cm, ${name}`, wanted, cm, !near(cm, wanted, CM_TOLERANCE));
      }
    }
    expect(wrong, `\n${rows.join('\n')}\n`).toBe(0);
  });

  it('expects something of every draft', () => {
    const named = new Set(EXPECTED.map(({ draft }) => draft));
    expect([...reports.keys()].filter((draft) => !named.has(draft))).toEqual([]);
  });

  it('gives equal numbers for the mirrored lamplighter, sides swapped', () => {
    const one = reports.get('LMP-0060 3')?.report.groups[0];
    const other = reports.get('LMP-0060 4')?.report.groups[0];
    expect(other?.margin?.distance).toBeCloseTo(one?.margin?.distance ?? Number.NaN, 9);
    expect(other?.footPosition).toBeCloseTo(one?.footPosition ?? Number.NaN, 9);
    expect(other?.plumb?.[0]).toBeCloseTo(-(one?.plumb?.[0] ?? Number.NaN), 9);
    expect([one?.margin?.heading, other?.margin?.heading]).toEqual(['to the left', 'to the right']);
  });

  it('has the apprentice 3.5 heads high, with hips at 0.30 of his stature', () => {
    const apprentice = reports
      .get('GRD-0030 1')
      ?.scene.figures.find(({ id }) => id === 'z-apprentice');
    const body = buildBody(apprentice?.body ?? { table: 'deleva-male', stature: 1, mass: 1 });
    expect(body.hipHeight / body.spec.stature).toBeCloseTo(0.3, 1);
    expect(body.spec.stature / body.segments.head.end[1]).toBeGreaterThan(2.5);
    expect(body.spec.stature / body.segments.head.end[1]).toBeLessThan(4);
  });
});

describe('every draft of the demo', () => {
  it.each([...reports])('%s reads back from a scene file', (_, { scene }) => {
    expect(readSceneJson(writeSceneJson(scene))).toEqual({ ok: true, scene, name: null });
  });

  it.each([...reports])(
    '%s has no foot in the ground and none that floats',
    (_, { scene, report }) => {
      const tops = scene.surfaces.map(({ position, size }) => position[1] + (size?.[1] ?? 0) / 2);
      for (const { id, body, pose } of scene.figures) {
        const touching = report.contacts.filter(({ owner }) => owner === id);
        const carried = scene.grips.length > 0;
        expect(touching.length > 0 || carried, `${id} touches nothing`).toBe(true);
        for (const { outline } of touching) {
          for (const [, y] of outline) {
            const gap = Math.min(...tops.map((top) => Math.abs(top - y)));
            expect(gap, `a contact of ${id} is off its surface`).toBeLessThan(0.002);
          }
        }
        const lowest = lowestPoint(poseFigure(buildBody(body), pose));
        expect(lowest, `${id} reaches under everything`).toBeGreaterThan(Math.min(...tops) - 0.005);
      }
    },
  );
});

describe('the notes of the demo', () => {
  const people = new Set(review.people.map(({ id }) => id));
  const all = review.shots.flatMap((shot) =>
    shot.drafts.flatMap((draft) =>
      (draft.notes ?? []).map((note) => ({ shot, scene: draft.scene, note })),
    ),
  );

  it('are there for every shot, written by people who may write', () => {
    for (const shot of review.shots) {
      expect(shot.drafts.length, shot.code).toBeGreaterThanOrEqual(2);
      expect(
        shot.drafts.some((draft) => (draft.notes ?? []).length > 0),
        shot.code,
      ).toBe(true);
    }
    for (const { note } of all) {
      for (const by of [note.by, ...note.replies.map((reply) => reply.by)])
        expect(people.has(by), by).toBe(true);
    }
  });

  it('are pinned to things that are in their draft, inside the shot', () => {
    for (const { shot, scene, note } of all) {
      const { pin } = note;
      const figures = scene.figures.map(({ id }) => id);
      if (pin.kind === 'joint' || pin.kind === 'plumb') expect(figures).toContain(pin.figure);
      if (pin.kind === 'load') expect(scene.loads.map(({ id }) => id)).toContain(pin.load);
      if (pin.kind === 'contact') expect(figures).toContain(pin.contact.split('/')[0]);
      if (note.frame === null) continue;
      expect(note.frame, `${shot.code}: ${note.text}`).toBeGreaterThanOrEqual(shot.frames[0]);
      expect(note.frame, `${shot.code}: ${note.text}`).toBeLessThanOrEqual(shot.frames[1]);
    }
  });

  it('never promise that something is safe', () => {
    expect(all.filter(({ note }) => /\bsafe/i.test(note.text))).toEqual([]);
  });
});

describe('the clip of the demo', () => {
  const file = new URL('../demo-data/clips/ferryman-rises.bvh', import.meta.url);

  it('is the file on disk (COUNTERLEAN_WRITE=1 writes it anew)', () => {
    if (process.env.COUNTERLEAN_WRITE === '1') writeFileSync(file, ferrymanRises());
    expect(readFileSync(file, 'utf8')).toBe(ferrymanRises());
  });

  it('has its joints where the poses have them, by the format\u2019s own rules', () => {
    const read = readBvh(ferrymanRises());
    if (!read.ok) throw new Error(read.message);
    for (const frame of [0, 11, 15, 30, 43]) {
      const stance = risingAt(frame + 1);
      const { segments } = poseFigure(buildBody(stance.body), poseOf(stance));
      const joints = bvhJointPositions(read.clip, frame);
      const at = (name: string) => joints.get(name)?.map((cm) => cm / 100);
      for (const [name, segment] of [
        ['Hips', 'pelvis'],
        ['Head', 'head'],
        ['LeftHand', 'handL'],
        ['RightFoot', 'footR'],
      ] as const) {
        const [x, y, zz] = at(name) ?? [];
        const wanted = segments[segment].position;
        const off = Math.hypot((x ?? 9) - wanted[0], (y ?? 9) - wanted[1], (zz ?? 9) - wanted[2]);
        // Four decimals of centimetres and degrees: below a tenth of a millimetre at arm's length.
        expect(off, `${name} at frame ${frame}`).toBeLessThan(1e-4);
      }
    }
  });

  it('weighs like the poses: the line lands where the shot says at its key frames', () => {
    const read = readClip(ferrymanRises(), { mass: 68, stature: 1.7, table: 'deleva-male' });
    if (!read.ok) throw new Error(read.message);
    expect(read.clip).toMatchObject({ frameCount: 44 });
    for (const [frame, foot] of [
      [22, 0.29],
      [28, 0.25],
      [36, 0.36],
    ] as const) {
      const [group] = assess(read.clip.sceneAt(frame - 1)).groups;
      expect(group?.footPosition ?? Number.NaN, `frame ${frame}`).toBeCloseTo(foot, 1);
    }
  });
});
