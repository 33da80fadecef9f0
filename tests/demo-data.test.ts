import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { assess, type BalanceReport, study } from '../core/balance/index.ts';
import { buildBody } from '../core/body/index.ts';
import {
  bvhJointPositions,
  readBvh,
  readClip,
  readSceneJson,
  writeSceneJson,
} from '../core/formats/index.ts';
import { conjugate, rotate, subtract, type Vec3 } from '../core/geometry/index.ts';
import { lowestPoint, pointOn, poseFigure } from '../core/pose/index.ts';
import type { Scene, Surface } from '../core/scene/index.ts';
import { ferrymanRises } from '../demo-data/clips.ts';
import { demoReview } from '../demo-data/index.ts';
import { poseOf } from '../demo-data/poses.ts';
import { risingAt } from '../demo-data/shots/ben-0110.ts';
import {
  CASES,
  CM_TOLERANCE,
  EXPECTED,
  type Expected,
  FOOT_TOLERANCE,
  type Seen,
} from './demo-expected.ts';

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
  it.each([...reports])('%s has no hand in the floor', (_, { scene }) => {
    const floor = scene.surfaces.find(({ size, rotation }) => size === null && rotation[3] === 1);
    for (const figure of scene.figures) {
      const posed = poseFigure(buildBody(figure.body), figure.pose);
      for (const hand of ['handL', 'handR'] as const) {
        const tip = pointOn(posed, hand, posed.body.segments[hand].end);
        expect(tip[1] - (floor?.position[1] ?? tip[1]), `${figure.name} ${hand}`).toBeGreaterThan(
          -0.01,
        );
      }
    }
  });

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
