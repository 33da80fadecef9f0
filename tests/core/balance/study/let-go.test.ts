import { describe, expect, it } from 'vitest';
import { assess, type LetGo, lettingGo, outcomeOf, study } from '../../../../core/balance/index.ts';
import { IDENTITY } from '../../../../core/geometry/index.ts';
import type { Scene } from '../../../../core/scene/index.ts';
import { MEETING, OUT_PULLED } from '../pairs.ts';
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
  WOMAN,
} from '../scenes.ts';

const letGo = (made: Scene): readonly LetGo[] => study(made).groups[0]!.letGo;
const child = { table: 'deleva-female', stature: 1.1, mass: 18 } as const;

const carrying = scene({
  figures: [
    figure('man', standing(MAN), { name: 'Man', body: MAN }),
    figure('child', moved(standing(child), [0, 0.6, 0.25]), { name: 'Child', body: child }),
  ],
  grips: [
    {
      id: 'arms',
      a: { kind: 'figure', figure: 'man', segment: 'handL' },
      b: { kind: 'figure', figure: 'child', segment: 'pelvis' },
      open: false,
    },
  ],
});

describe('letting go of some grips', () => {
  it('comes to the same as the study tells of all grips of two', () => {
    const told = letGo(MEETING).find(({ what }) => what.kind === 'grips')!;
    const asked = lettingGo(MEETING, ['right', 'left'])!;
    expect(asked).toEqual(told.parts);
    expect(outcomeOf(asked)).toMatch(/^.+ falls backwards/);
  });

  it('leaves out grips that are open or not there, and is null without any', () => {
    expect(lettingGo(MEETING, ['left', 'none'])).toEqual(lettingGo(MEETING, ['left']));
    expect(lettingGo(MEETING, ['none'])).toBeNull();
    const open = MEETING.grips.map((grip) => ({ ...grip, open: true }));
    expect(lettingGo({ ...MEETING, grips: open }, ['left'])).toBeNull();
  });

  it('tells times at the rate that is asked for', () => {
    const frames = (rate: number): number | undefined =>
      lettingGo(MEETING, ['left', 'right'], rate)!.find(({ topple }) => topple)?.topple?.toFloor
        .frames;
    expect(frames(48)! / frames(24)!).toBeCloseTo(2, 0);
  });
});

describe('letting go of each other', () => {
  it('gives each part its own verdict, as if the grips were open', () => {
    const both = letGo(MEETING).find(({ what }) => what.kind === 'grips')!;
    const open = assess({ ...MEETING, grips: [] });
    expect(both.parts.map(({ members }) => members)).toEqual([['he'], ['she']]);
    both.parts.forEach((part, i) => {
      expect(part.verdict).toBe('falls');
      expect(part.margin_m).toBe(open.groups[i]!.margin!.distance);
      expect(part.heading).toBe('backwards');
    });
    // He faces +z, she faces him.
    expect(both.parts[0]!.direction![1]).toBeCloseTo(-1, 6);
    expect(both.parts[1]!.direction![1]).toBeCloseTo(1, 6);
  });

  it('tells the farther one to land first: about the frames of the job (D2 v2, own model, 4 frames)', () => {
    // job.md D2 v2: A 20 degrees at 17 frames, floor at 31; B 8 and 22 (24 a second; stiff block model).
    const both = letGo(MEETING).find(({ what }) => what.kind === 'grips')!;
    const [he, she] = both.parts.map(({ topple }) => topple!);
    expect(Math.abs(he!.to20.frames - 17)).toBeLessThanOrEqual(4);
    expect(Math.abs(he!.toFloor.frames - 31)).toBeLessThanOrEqual(4);
    expect(Math.abs(she!.to20.frames - 8)).toBeLessThanOrEqual(4);
    expect(Math.abs(she!.toFloor.frames - 22)).toBeLessThanOrEqual(4);
    for (const { to20, to45, toFloor } of [he!, she!]) {
      expect(to20.seconds).toBeLessThan(to45.seconds);
      expect(to45.seconds).toBeLessThan(toFloor.seconds);
      expect(toFloor.frames).toBe(Math.round(toFloor.seconds * 24));
    }
    const slow = study(MEETING, { rate: 12 }).groups[0]!.letGo.find(
      ({ what }) => what.kind === 'grips',
    )!;
    expect(slow.parts[0]!.topple!.toFloor.seconds).toBe(he!.toFloor.seconds);
    expect(slow.parts[0]!.topple!.toFloor.frames).toBe(Math.round(he!.toFloor.seconds * 12));
    expect(both.sentence).toMatch(
      /^When he and she let go of each other: he falls backwards, \d+\.\d cm out: 20 degrees over in \d+ frames, down in \d+ frames; she falls backwards, \d+\.\d cm out: 20 degrees over in \d+ frames, down in \d+ frames\.$/,
    );
  });

  it('of one grip of two leaves the pair joined by the other', () => {
    const single = letGo(OUT_PULLED).filter(({ what }) => what.kind === 'grip');
    expect(single).toHaveLength(2);
    for (const { parts } of single) {
      expect(parts).toHaveLength(1);
      expect(parts[0]!.members).toEqual(['he', 'she']);
      expect(parts[0]!.verdict).toBe('falls');
    }
  });
});

describe('one who is carried', () => {
  it('hangs on the grip with the whole weight and the moment of the centre beside it', () => {
    const group = study(carrying).groups[0]!;
    const { force, at } = group.grips[0]!;
    if (force.kind !== 'told') throw new Error(force.sentence);
    expect(force.unique).toBe(true);
    expect(force.least_N).toBeCloseTo(18 * 9.81, 9);
    // Force on the first end, the carrier's hand: the child's weight, downwards.
    expect(force.y_N).toEqual({ least: -18 * 9.81, most: -18 * 9.81 });
    const { bodyCentre } = assess(carrying).figures.find(({ figure: id }) => id === 'child')!;
    const beside = Math.hypot(bodyCentre[0] - at[0], bodyCentre[2] - at[2]);
    expect(force.moment_Nm).toBeCloseTo(18 * 9.81 * beside, 6);
    expect(force.sentence).toMatch(
      /^Man carries Child whole: this grip takes 177 N, and it must hold a turning moment of \d+ N m as well\.$/,
    );
  });

  it('drops when let go, and the carrier stands', () => {
    const [only] = letGo(carrying);
    expect(only!.parts.map(({ verdict }) => verdict)).toEqual(['airborne', 'holds']);
    const { drop } = only!.parts[0]!;
    expect(drop!.height_m).toBeGreaterThan(0.6);
    expect(drop!.seconds).toBeCloseTo(Math.sqrt((2 * drop!.height_m) / 9.81), 12);
    expect(only!.sentence).toMatch(
      /^When Man and Child let go: Child drops [\d.]+ c?m to Floor in \d+ frames; Man holds\.$/,
    );
  });
});

describe('a load let go', () => {
  it('drops straight down on what lies beneath: t = sqrt(2 h / g)', () => {
    const made = (surfaces: Scene['surfaces']) =>
      scene({
        surfaces,
        figures: [figure('a', posed({ upperArm: { flexion: 60 } }))],
        loads: [{ ...ball('b', 3, held('a')), name: 'Ball' }],
      });
    const floor = made([FLOOR]);
    const { centre } = assess(floor).loads.b!;
    const drop = letGo(floor)[0]!.parts.find(({ members }) => members[0] === 'b')!.drop!;
    expect(drop.height_m).toBeCloseTo(centre[1] - 0.1, 12);
    expect(drop.seconds).toBeCloseTo(Math.sqrt((2 * (centre[1] - 0.1)) / 9.81), 12);
    expect(drop.from).toEqual(centre);
    expect(drop.to).toEqual([centre[0], centre[1] - drop.height_m, centre[2]]);
    expect(drop.onto).toBe('Floor');
    const table = box('table', [0, 0.3, centre[2]], [0.4, 0.6, 0.2]);
    const onTable = letGo(made([FLOOR, table]))[0]!.parts.find(({ members }) => members[0] === 'b')!
      .drop!;
    expect(onTable.height_m).toBeCloseTo(centre[1] - 0.1 - 0.6, 12);
    expect(onTable.onto).toBe('table');
    const nothing = letGo(made([box('ledge', [0, -0.1, -0.3], [1, 0.2, 1])]))[0]!;
    expect(nothing.parts.find(({ members }) => members[0] === 'b')!.drop).toBeNull();
    expect(nothing.sentence).toMatch(/Ball drops, and nothing lies beneath\.$/);
  });

  it('tells that its bearer falls without it: leaning back against a heavy crate', () => {
    const made = scene({
      figures: [figure('a', posed({ lean: -7, upperArm: { flexion: 50 } }), { name: 'Ada' })],
      loads: [{ ...ball('crate', 25, held('a')), name: 'Crate' }],
    });
    expect(assess(made).groups[0]!.verdict).toBe('holds');
    const [only] = letGo(made);
    expect(only!.parts.map(({ verdict }) => verdict)).toEqual(['falls', 'airborne']);
    expect(only!.sentence).toMatch(
      /^When Crate is let go: Ada falls backwards, \d\.\d cm out: 20 degrees over in \d+ frames, down in \d+ frames; Crate drops \d+\.\d cm to Floor in \d+ frames\.$/,
    );
  });

  it('with an unknown mass does not keep its bearer from being judged', () => {
    const made = scene({
      figures: [figure('a', standing(), { body: WOMAN })],
      loads: [ball('b', null, held('a'))],
    });
    const [only] = letGo(made);
    expect(only!.parts.map(({ verdict }) => verdict)).toEqual(['holds', 'airborne']);
  });
});

describe('a load that two carry', () => {
  const two = (mass: number | null) =>
    scene({
      figures: [figure('a', standing()), figure('b', moved(standing(), [0.8, 0, 0]))],
      loads: [
        {
          ...ball('crate', mass, {
            kind: 'standing',
            position: [0.4, 0.8, 0.2],
            rotation: IDENTITY,
          }),
        },
      ],
      grips: ['a', 'b'].map((by) => ({
        id: `by-${by}`,
        a: { kind: 'figure' as const, figure: by, segment: 'handR' as const },
        b: { kind: 'load' as const, load: 'crate' },
        open: false,
      })),
    });

  it('is shared in any way that both can stand, and goes to the other when one lets go', () => {
    const report = assess(two(10));
    expect(report.groups[0]!.verdict).toBe('holds');
    const afterA = letGo(two(10)).find(({ what }) => what.kind === 'grip' && what.grip === 'by-a')!;
    expect(afterA.parts.map(({ members }) => members)).toEqual([['a'], ['b', 'crate']]);
  });

  it('cannot be told while its mass is not set', () => {
    const group = study(two(null)).groups[0]!;
    expect(group.verdict).toBe('unknown');
    expect(group.loads.sentence).toBe(
      'Cannot tell what each contact carries: the mass of crate is not set.',
    );
    expect(group.implied[0]!.answer.kind).toBe('told');
  });
});
