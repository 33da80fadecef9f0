import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import {
  assess,
  type BalanceReport,
  type FigureReading,
  type GroupReading,
  study,
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
import { conjugate, rotate, subtract, type Vec3 } from '../core/geometry/index.ts';
import { lowestPoint, poseFigure } from '../core/pose/index.ts';
import type { Scene, Surface } from '../core/scene/index.ts';
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

/** How far a point is off the nearest face of a surface, metres. */
function gapTo({ position, rotation, size }: Surface, point: Vec3): number {
  const local = rotate(conjugate(rotation), subtract(point, position));
  if (size === null) return Math.abs(local[1]);
  return Math.min(...local.map((c, k) => Math.abs(Math.abs(c) - size[k]! / 2)));
}

/** Height on which a surface can be stood on at its lowest: the top of a level one. */
function lowestOf({ position, rotation, size }: Surface): number {
  const level = Math.abs(rotate(rotation, [0, 1, 0])[1]) > 1 - 1e-9;
  return level ? position[1] + (size?.[1] ?? 0) / 2 : Number.POSITIVE_INFINITY;
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
  { draft: 'BEN-0115 1', foot: -69, verdict: 'holds' },
  { draft: 'BEN-0115 2', foot: -69, verdict: 'holds' },

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

  // From here on: verdicts that the case itself asks for (common practice, no source).
  { draft: 'SCK-0035 1', verdict: 'unknown' },
  { draft: 'SCK-0035 2', verdict: 'unknown' },
  { draft: 'SCK-0035 3', verdict: 'holds' },

  { draft: 'SLP-0045 1', verdict: 'falls' },
  { draft: 'SLP-0045 2', verdict: 'holds' },
  { draft: 'SLP-0045 3', verdict: 'falls' },

  { draft: 'EQL-0075 1', verdict: 'falls' },
  { draft: 'EQL-0075 2', verdict: 'holds' },
  { draft: 'EQL-0075 2', alone: 'rider', verdict: 'held' },

  { draft: 'PUT-0065 1', verdict: 'holds' },
  { draft: 'PUT-0065 2', verdict: 'falls' },
  { draft: 'PUT-0065 3', verdict: 'holds' },

  { draft: 'LTG-0080 1', verdict: 'holds' },
  { draft: 'LTG-0080 1', alone: 'aunt', verdict: 'holds' },
  { draft: 'LTG-0080 1', alone: 'boy', verdict: 'held' },
  { draft: 'LTG-0080 2', verdict: 'teeters' },

  // The line is 2 cm beside the middle of a wire of 2 cm, less what the pole brings back.
  { draft: 'POL-0095 1', verdict: 'falls' },
  { draft: 'POL-0095 2', margin: 1, verdict: 'holds' },

  { draft: 'ARM-0120 1', verdict: 'holds' },
  { draft: 'ARM-0120 2', verdict: 'falls' },
  { draft: 'ARM-0120 3', foot: 26, verdict: 'holds' },

  { draft: 'STP-0140 1', verdict: 'falls' },
  { draft: 'STP-0140 2', verdict: 'holds' },

  { draft: 'WAL-0015 1', verdict: 'holds' },
  { draft: 'WAL-0015 2', verdict: 'falls' },
  { draft: 'WAL-0015 3', verdict: 'holds' },
];

/** The job's cases (design.md), and what else a board must show, each with a draft that shows it. */
const CASES: Readonly<Record<string, readonly string[]>> = {
  'heavy pack and forward lean': ['SLT-0040 1', 'SLT-0040 3'],
  'one figure carrying another': ['EQL-0075 1', 'EQL-0075 2'],
  'one figure holding another': ['DIP-0070 2', 'PUL-0010 2', 'LTG-0080 1'],
  'a light ball held out in front': ['PUT-0065 1'],
  'a heavy ball held out in front': ['PUT-0065 2'],
  'leaning back against a heavy lift': ['CRT-0020 4', 'PUT-0065 3'],
  'bending to the toes with hips going back': ['KEY-0030 1', 'KEY-0030 3'],
  'rising from a chair: seat and feet': ['BEN-0110 2'],
  'rising from a chair: hands on the arms': ['ARM-0120 1'],
  'rising from a chair: feet alone': ['ARM-0120 3', 'BEN-0110 7'],
  'one foot before the other': ['LIN-0090 2'],
  'a rope or beam': ['LIN-0090 4', 'POL-0095 2'],
  'one foot': ['LMP-0060 3'],
  'reaching over a ledge with the opposite leg raised': ['NST-0050 5'],
  'a crouched, wide stance': ['GRD-0030 2'],
  'a hand on a rail, a foot on a step': ['STP-0140 2'],
  'a push at a wall, a back against a wall': ['WAL-0015 1', 'WAL-0015 3'],
  'a slope': ['SLP-0045 2', 'SLP-0045 3'],
  'a load of unknown mass': ['SCK-0035 1'],
};

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

describe('the demo review shows', () => {
  it.each(Object.entries(CASES))('%s', (_, drafts) => {
    for (const draft of drafts) expect(reports.has(draft), draft).toBe(true);
  });

  it('one who stands and one who falls when they let go of each other', () => {
    const { scene } = reports.get('LTG-0080 1')!;
    const [together] = study(scene).groups[0]!.letGo;
    expect(together!.what.kind).toBe('grips');
    const after = Object.fromEntries(together!.parts.map((p) => [p.members[0], p.verdict]));
    expect(after).toEqual({ aunt: 'holds', boy: 'falls' });
  });

  it('a sack that reads as a range of masses, never as one', () => {
    const { answer } = study(reports.get('SCK-0035 1')!.scene).groups[0]!.implied[0]!;
    if (answer.kind !== 'told') throw new Error(answer.sentence);
    expect(answer.holds).toMatchObject({ kind: 'range', least_kg: 0 });
  });

  it('a slip on which friction, not the edge, decides', () => {
    expect(reports.get('SLP-0045 3')!.report.groups[0]!.sentence).toMatch(/too slippery/);
  });

  it('one who weighs as much as the one who carries', () => {
    const { figures } = reports.get('EQL-0075 1')!.scene;
    expect(figures[0]!.body.mass).toBe(figures[1]!.body.mass);
  });
});

describe('every draft of the demo', () => {
  it.each([...reports])('%s reads back from a scene file', (_, { scene }) => {
    expect(readSceneJson(writeSceneJson(scene))).toEqual({ ok: true, scene, name: null });
  });

  it.each([...reports])(
    '%s has no foot in the ground and none that floats',
    (_, { scene, report }) => {
      for (const { id, body, pose } of scene.figures) {
        const touching = report.contacts.filter(({ owner }) => owner === id);
        const carried = scene.grips.length > 0;
        expect(touching.length > 0 || carried, `${id} touches nothing`).toBe(true);
        for (const { outline, surface } of touching) {
          const on = scene.surfaces.find((one) => one.id === surface);
          for (const point of on === undefined ? [] : outline)
            expect(gapTo(on!, point), `a contact of ${id} is off its surface`).toBeLessThan(0.002);
        }
        const lowest = lowestPoint(poseFigure(buildBody(body), pose));
        const ground = Math.min(...scene.surfaces.map(lowestOf));
        expect(lowest, `${id} reaches under everything`).toBeGreaterThan(ground - 0.005);
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
