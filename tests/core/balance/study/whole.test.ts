import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { assess, type Study, SUBJECTS, study } from '../../../../core/balance/index.ts';
import {
  balanceReportJsonSchema,
  balanceReportSchema,
  studyJsonSchema,
  studySchema,
} from '../../../../core/formats/report-schema.ts';
import { fromAxisAngle, IDENTITY, type Vec3 } from '../../../../core/geometry/index.ts';
import type { Load, Scene } from '../../../../core/scene/index.ts';
import { seeded } from '../../geometry/random.ts';
import { handInHand, MEETING, OUT_PULLED } from '../pairs.ts';
import {
  ball,
  box,
  FLOOR,
  figure,
  held,
  MAN,
  moved,
  posed,
  scene,
  standing,
  turned,
  WOMAN,
} from '../scenes.ts';

/** Scenes of every sort by seed: figures, loads with and without mass, grips, odd surfaces. */
function randomScene(seed: number): Scene {
  const random = seeded(seed);
  const between = (from: number, to: number) => from + random() * (to - from);
  const chance = (share: number) => random() < share;
  const count = chance(0.1) ? 0 : chance(0.5) ? 1 : 2;
  const figures = Array.from({ length: count }, (_, i) =>
    figure(
      `f${i}`,
      moved(
        turned(
          posed({
            lean: between(-12, 20),
            trunk: between(-15, 60),
            upperArm: { flexion: between(-20, 120) },
            thighL: { flexion: between(0, 60) },
            shankL: { flexion: between(0, 60) },
          }),
          between(0, 6),
        ),
        [between(-0.5, 0.5), chance(0.2) ? between(-0.1, 0.6) : 0, between(-0.5, 0.5)],
      ),
      {
        body: chance(0.5) ? MAN : WOMAN,
        contacts: chance(0.3) ? { palmL: 'planted', soleL: 'planted' } : {},
      },
    ),
  );
  const loads: Load[] = [];
  if (chance(0.5) && count > 0)
    loads.push(
      ball('held', chance(0.3) ? null : between(0, 40), held('f0', [0, between(-1, 0.2), 0])),
    );
  if (chance(0.3))
    loads.push({
      id: 'crate',
      name: 'Crate',
      shape: { kind: 'box', size: [0.4, 0.3, 0.4] },
      mass: chance(0.2) ? null : between(0, 30),
      place: { kind: 'standing', position: [0, 0.15, 0.3], rotation: IDENTITY },
    });
  if (chance(0.2))
    loads.push(ball('top', 3, { kind: 'standing', position: [0, 0.4, 0.3], rotation: IDENTITY }));
  const slope = fromAxisAngle([0, 0, 1], between(0, 0.4));
  const surfaces = [
    chance(0.8) ? FLOOR : { ...FLOOR, rotation: slope, friction: between(0, 1) },
    ...(chance(0.4) ? [box('wall', [0, 1, -0.6], [3, 2, 0.2], { kind: 'wall' })] : []),
    ...(chance(0.4) ? [box('step', [0.6, 0.1, 0.2], [0.8, 0.2, 0.8])] : []),
  ];
  const grips =
    count === 2 && chance(0.7)
      ? [
          {
            id: 'g',
            a: { kind: 'figure' as const, figure: 'f0', segment: 'handL' as const },
            b: {
              kind: 'figure' as const,
              figure: 'f1',
              segment: chance(0.5) ? ('handR' as const) : ('pelvis' as const),
            },
            open: chance(0.1),
          },
        ]
      : [];
  return scene({ figures, loads, surfaces, grips });
}

/** Every number and undefined of a value with its place. */
function* leaves(value: unknown, at = ''): Generator<readonly [string, unknown]> {
  if (typeof value === 'object' && value !== null)
    for (const [key, part] of Object.entries(value)) yield* leaves(part, `${at}\u0000${key}`);
  else yield [at, value];
}

const leafAt = (whole: unknown, at: string): unknown =>
  at
    .split('\u0000')
    .slice(1)
    .reduce((part, key) => (part as Record<string, unknown>)[key], whole);

const SCENES: readonly (readonly [string, Scene])[] = [
  ['nothing', scene({})],
  ['a floor and nobody', scene({ figures: [] })],
  [
    'a load without mass',
    scene({
      loads: [ball('b', 0, { kind: 'standing', position: [0, 0.1, 0], rotation: IDENTITY })],
    }),
  ],
  [
    'a load that floats',
    scene({ loads: [ball('b', 2, { kind: 'standing', position: [0, 2, 0], rotation: IDENTITY })] }),
  ],
  ['a figure in the air', scene({ figures: [figure('a', moved(standing(), [0, 2, 0]))] })],
  ['a figure over nothing', scene({ surfaces: [], figures: [figure('a', standing())] })],
  ['ice', scene({ surfaces: [{ ...FLOOR, friction: 0 }], figures: [figure('a', standing())] })],
  ['a pair that meets', MEETING],
  ['a pair that does not', OUT_PULLED],
  ['two who lean on each other', handInHand({ he: -20, she: -20, gap: 1.3, hands: 0.7 })],
  ...Array.from({ length: 60 }, (_, i) => [`seed ${i + 1}`, randomScene(i + 1)] as const),
];

describe.each(SCENES)('%s', (_, made) => {
  const report = assess(made);
  const told: Study = study(made);

  it('is plain data without holes: no NaN, no Infinity, the same as JSON and as a structured clone', () => {
    for (const whole of [report, told]) {
      for (const [at, value] of leaves(whole)) {
        expect(value, at).not.toBeUndefined();
        if (typeof value === 'number')
          expect(Number.isFinite(value), `${at} is ${value}`).toBe(true);
      }
      expect(structuredClone(whole)).toEqual(whole);
      // JSON has no minus zero; it reads back as the same otherwise.
      const read = JSON.parse(JSON.stringify(whole));
      for (const [at, value] of leaves(whole))
        if (typeof value !== 'number' || value !== 0) expect(leafAt(read, at), at).toEqual(value);
    }
  });

  it('has the published shape', () => {
    expect(balanceReportSchema.safeParse(report).error?.message ?? '').toBe('');
    expect(studySchema.safeParse(told).error?.message ?? '').toBe('');
  });

  it('tells one plain sentence per subject, or why it cannot', () => {
    expect(told.groups.map(({ id, verdict }) => [id, verdict])).toEqual(
      report.groups.map(({ id, verdict }) => [id, verdict]),
    );
    for (const { sentences } of told.groups) {
      for (const { text } of sentences) {
        expect(text).toMatch(/^\p{L}|^\d/u);
        expect(text.endsWith('.')).toBe(true);
        expect(text).not.toMatch(/NaN|Infinity|undefined|null|!| {2}/);
        expect(text).not.toMatch(/\bsafe\b/i);
      }
      const order = sentences.map(({ subject }) => SUBJECTS.indexOf(subject));
      expect(order).toEqual([...order].sort((a, b) => a - b));
    }
  });
});

describe('a study', () => {
  it('does not care about the order of things in the scene', () => {
    const made = randomScene(7);
    const back: Scene = {
      figures: [...made.figures].reverse(),
      loads: [...made.loads].reverse(),
      surfaces: [...made.surfaces].reverse(),
      grips: [...made.grips].reverse(),
    };
    expect(JSON.stringify(study(back))).toBe(JSON.stringify(study(made)));
  });

  it('moves with the scene: numbers stay, places follow', () => {
    const by: Vec3 = [3, 0, -2];
    const made = scene({
      figures: [figure('a', standing())],
      loads: [ball('b', 5, held('a'))],
    });
    const away = scene({
      figures: [figure('a', moved(standing(), by))],
      loads: [ball('b', 5, held('a'))],
    });
    const [here, there] = [study(made).groups[0]!, study(away).groups[0]!];
    expect(there.sentences).toEqual(here.sentences);
  });

  it('names an option that makes no sense', () => {
    expect(() => study(scene({}), { rate: 0 })).toThrow(/rate is 0; give frames a second above 0/);
    expect(() => study(scene({}), { directions: 2 })).toThrow(/directions is 2/);
    expect(() => study(scene({}), { pushHeight: -1 })).toThrow(/pushHeight is -1/);
  });

  it('tries as many directions as asked', () => {
    const made = scene({ figures: [figure('a', standing())] });
    const { tipping } = study(made, { directions: 8 }).groups[0]!;
    expect(tipping.kind === 'told' && tipping.directions).toHaveLength(8);
  });
});

describe('the published JSON Schemas', () => {
  it.each([
    ['balance-report.schema.json', balanceReportJsonSchema],
    ['study.schema.json', studyJsonSchema],
  ])('%s is the one in code (COUNTERLEAN_WRITE=1 writes it anew; then format it)', (name, made) => {
    const file = new URL(`../../../../core/formats/${name}`, import.meta.url);
    if (process.env.COUNTERLEAN_WRITE === '1')
      writeFileSync(file, `${JSON.stringify(made(), null, 2)}\n`);
    expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual(made());
  });
});
