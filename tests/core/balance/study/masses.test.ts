import { describe, expect, it } from 'vitest';
import { assess, type ImpliedWeight, study } from '../../../../core/balance/index.ts';
import { IDENTITY, type Vec3 } from '../../../../core/geometry/index.ts';
import type { Load, Scene } from '../../../../core/scene/index.ts';
import { MEETING } from '../pairs.ts';
import { ball, box, figure, held, MAN, posed, scene, standing } from '../scenes.ts';

const pack = (mass: number | null, offset: Vec3 = [0, 0.15, -0.2]): Load => ({
  ...ball('pack', mass, {
    kind: 'attached',
    figure: 'a',
    segment: 'chest',
    offset,
    rotation: IDENTITY,
  }),
});

const withLoad = (load: Load, pose = posed({ trunk: 20 })): Scene =>
  scene({ figures: [figure('a', pose)], loads: [load] });

const answerOf = (implied: ImpliedWeight | undefined) => {
  if (implied?.answer.kind !== 'told') throw new Error(implied?.answer.sentence);
  return implied.answer;
};

const verdictWith = (made: Scene, mass: number) =>
  assess({ ...made, loads: made.loads.map((load) => ({ ...load, mass })) }).groups[0]!.verdict;

describe('implied weight', () => {
  const leaningBack = posed({ lean: -3, trunk: -10, upperArm: { flexion: 50 } });
  it.each([
    ['a pack behind a forward trunk', withLoad(pack(null))],
    ['a ball before one who leans back', withLoad(ball('b', null, held('a')), leaningBack)],
    [
      'a ball at the end of one arm',
      withLoad(
        ball('b', 3, { ...held('a'), hands: 'left' } as Load['place']),
        posed({ upperArmL: { abduction: 90 } }),
      ),
    ],
    [
      'a pack on one who stands on two steps',
      scene({
        surfaces: [
          box('low', [0.5, -0.1, 0], [1, 0.2, 2]),
          box('high', [-0.5, 0.02, 0.15], [1, 0.2, 2]),
        ],
        figures: [
          figure('a', posed({ trunk: 14, thighR: { flexion: 30 }, shankR: { flexion: 35 } }), {
            contacts: { soleL: 'planted', soleR: 'planted', toesL: 'planted', toesR: 'planted' },
          }),
        ],
        loads: [pack(null)],
      }),
    ],
  ])('is where the verdict changes when it is tried: %s', (_, made) => {
    const { holds, teeters } = answerOf(study(made).groups[0]!.implied[0]);
    for (const [band, good] of [
      [holds, ['holds']],
      [teeters, ['holds', 'teeters']],
    ] as const) {
      if (band.kind === 'none') throw new Error('a band was expected');
      const inside = (mass: number) => good.some((verdict) => verdict === verdictWith(made, mass));
      // A region's polygon may be a millimetre small, so ends are tried 2 % apart.
      if (band.least_kg > 0.1) {
        expect(inside(band.least_kg * 0.98), `below ${band.least_kg}`).toBe(false);
        expect(inside(band.least_kg * 1.02), `above ${band.least_kg}`).toBe(true);
      } else expect(inside(0.2)).toBe(true);
      if (band.most_kg !== null) {
        expect(inside(band.most_kg * 0.98), `below ${band.most_kg}`).toBe(true);
        expect(inside(band.most_kg * 1.02), `above ${band.most_kg}`).toBe(false);
      }
    }
    if (holds.kind === 'range' && teeters.kind === 'range') {
      expect(holds.least_kg).toBeGreaterThanOrEqual(teeters.least_kg - 1e-6);
      expect(holds.leastShare).toBeCloseTo(holds.least_kg / 62, 9);
    }
  });

  it('is told as a range first, then the mass that would centre it', () => {
    const made = withLoad(ball('crate', null, held('a')), leaningBack);
    const { sentence, centring } = answerOf(study(made).groups[0]!.implied[0]);
    expect(sentence).toMatch(
      /^crate reads as [\d.]+ to \d+ kg \(\d+ to \d+ % of the body\)\. It stands, if only just, with any weight up to \d+ kg \(\d+ % of the body\)\. \d+ kg \(\d+ %\) would centre it, a convention and no measurement\.$/,
    );
    expect(centring.kind).toBe('mass');
  });

  it('says none where no load explains the pose', () => {
    const made = withLoad(pack(null), posed({ lean: -12 }));
    const answer = answerOf(study(made).groups[0]!.implied[0]);
    expect(answer.holds).toEqual({ kind: 'none' });
    expect(answer.teeters).toEqual({ kind: 'none' });
    expect(answer.sentence).toBe('No weight of pack lets this pose stand.');
  });

  it('says any weight where it hangs over the support', () => {
    const over = withLoad(pack(null, [0, 0.2, 0.03]), standing());
    const answer = answerOf(study(over).groups[0]!.implied[0]);
    expect(answer.holds).toMatchObject({ kind: 'range', most_kg: null });
    expect(answer.sentence).toMatch(/^pack reads as any weight\./);
  });

  it('says that a set mass is too heavy or too light', () => {
    const heavy = study(withLoad(pack(200), standing())).groups[0]!;
    expect(heavy.verdict).toBe('falls');
    expect(answerOf(heavy.implied[0]).sentence).toMatch(
      / It is set to 200 kg, too heavy for this pose\.$/,
    );
  });

  it('cannot tell two unknown loads at once', () => {
    const made = {
      ...withLoad(pack(null)),
      loads: [pack(null), { ...ball('jug', null, held('a')), name: 'Jug' }],
    };
    const { implied } = study(made).groups[0]!;
    expect(implied.map(({ answer }) => answer.sentence)).toEqual([
      'Cannot tell what Jug weighs: the mass of pack is not set either.',
      'Cannot tell what pack weighs: the mass of Jug is not set either.',
    ]);
  });
});

describe('the mass of a partner', () => {
  it('is where the verdict of the pair changes when it is tried', () => {
    const { partners } = study(MEETING).groups[0]!;
    for (const { figure: id, answer } of partners) {
      if (answer.kind !== 'told' || answer.teeters.kind === 'none')
        throw new Error(answer.sentence);
      const verdict = (mass: number) =>
        assess({
          ...MEETING,
          figures: MEETING.figures.map((f) =>
            f.id === id ? { ...f, body: { ...f.body, mass } } : f,
          ),
        }).groups[0]!.verdict;
      // Drawn girth follows the mass and with it the palm's place by a little, hence 4 %.
      expect(verdict(answer.teeters.least_kg * 0.96)).toBe('falls');
      expect(verdict(answer.teeters.least_kg * 1.04)).not.toBe('falls');
      expect(verdict(answer.teeters.most_kg! * 0.96)).not.toBe('falls');
      expect(verdict(answer.teeters.most_kg! * 1.04)).toBe('falls');
      expect(answer.sentence).toMatch(/of the others/);
    }
  });
});

describe('reaching out with a load', () => {
  it('ends where the pose falls when the load is moved there', () => {
    const place = (forward: number): Load['place'] => ({
      kind: 'attached',
      figure: 'a',
      segment: 'pelvis',
      offset: [0, 0.2, 0.3 + forward],
      rotation: IDENTITY,
    });
    const made = (forward: number) =>
      scene({
        figures: [figure('a', standing(MAN), { body: MAN })],
        loads: [ball('b', 12, place(forward))],
      });
    const { reach } = study(made(0)).groups[0]!;
    const { answer } = reach[0]!;
    if (answer.kind !== 'told') throw new Error(answer.sentence);
    const { falls_m, teeters_m } = answer;
    const verdict = (forward: number) => assess(made(forward)).groups[0]!.verdict;
    expect(verdict(falls_m! - 0.002)).toBe('teeters');
    expect(verdict(falls_m! + 0.002)).toBe('falls');
    expect(verdict(teeters_m! - 0.002)).toBe('holds');
    expect(verdict(teeters_m! + 0.002)).toBe('teeters');
    expect(answer.sentence).toMatch(
      /^b may go [\d.]+ c?m farther forward before this teeters, [\d.]+ c?m before it falls \(the arms' own weight left where it is\)\.$/,
    );
  });
});

describe('a load that grows', () => {
  it('lifts the heels first when it hangs in front, and the toes when it hangs behind', () => {
    const front = study(
      scene({
        figures: [figure('a', posed({ upperArm: { flexion: 70 } }))],
        loads: [ball('b', 2, held('a'))],
      }),
    ).groups[0]!;
    const growth = front.growth[0]!.answer;
    if (growth.kind !== 'told') throw new Error(growth.sentence);
    expect(growth.lifts).toEqual(['a/soleL', 'a/soleR']);
    expect(growth.lifts_kg!).toBeLessThan(growth.falls_kg!);
    expect(growth.falls_kg).toBe(
      (answerOf(front.implied[0]).teeters as { most_kg: number }).most_kg,
    );
    expect(growth.sentence).toMatch(
      /^When b grows, both soles lift first, at about [\d.]+ kg; it falls from [\d.]+ kg on\.$/,
    );
    const behind = study(withLoad(pack(2), standing())).groups[0]!.growth[0]!.answer;
    if (behind.kind !== 'told') throw new Error(behind.sentence);
    expect(behind.lifts).toEqual(['a/toesL', 'a/toesR']);
  });
});
