import { describe, expect, it } from 'vitest';
import { assess, study } from '../../../core/balance/index.ts';
import { IDENTITY, signedMargin, supportPolygon, type Vec3 } from '../../../core/geometry/index.ts';
import type { Load, Scene } from '../../../core/scene/index.ts';
import { HE, handInHand, MEETING, OUT_PULLED } from './pairs.ts';
import { ball, box, FLOOR, figure, held, MAN, moved, posed, scene, standing } from './scenes.ts';

const group = (made: Scene) => assess(made).groups[0]!;

const crate = (id: string, at: Vec3, size: Vec3, mass: number | null = 10): Load => ({
  id,
  name: id,
  shape: { kind: 'box', size },
  mass,
  place: { kind: 'standing', position: at, rotation: IDENTITY },
});

describe('two who hold hands and lean back', () => {
  it('fall to the side of the one who needs more pull than the other can stand (job.md, D2 v1)', () => {
    const reading = group(OUT_PULLED);
    expect(reading.verdict).toBe('falls');
    expect(reading.margin!.distance).toBeLessThan(0);
    // He faces +z; they go over behind him.
    expect(reading.margin!.direction[1]).toBeLessThan(-0.99);
    expect(reading.sentence).toMatch(
      /^Falls together backwards \(as he faces\): the plumb line lands inside the outline round all contacts, but \d\.\d cm beyond where each can hold the other\. Each is weighed with its own contacts and what passes between them\.$/,
    );
    const [pull] = study(OUT_PULLED).groups[0]!.pulls;
    expect(pull!.meet).toBe(false);
    expect(pull!.first_N!.least!).toBeGreaterThan(pull!.second_N!.most!);
  });

  it('hold where their pulls meet (D2 v2), each held by the other', () => {
    const report = assess(MEETING);
    expect(report.groups[0]!.verdict).toBe('holds');
    expect(report.groups[0]!.support).toMatchObject({ basis: 'region', exact: false });
    expect(report.figures.map(({ verdict }) => verdict)).toEqual(['held', 'held']);
    const [pull] = study(MEETING).groups[0]!.pulls;
    expect(pull!.meet).toBe(true);
    // Moment about his heel: the level pull that holds him alone, W x / h at least (mechanics.md 1.9).
    const he = report.figures.find(({ figure: id }) => id === 'he')!;
    const least = (HE.mass * 9.81 * -he.margin!.distance) / 1.18;
    expect(Math.abs(pull!.first_N!.least! - least)).toBeLessThan(0.02 * least);
  });

  it('go over without a jump: the margin passes zero where the pulls stop meeting', () => {
    const at = (she: number) => group(handInHand({ he: 20, she, gap: 0.51, hands: 0.14 }));
    let [falling, holding] = [10, 20];
    expect(at(falling).verdict).toBe('falls');
    expect(at(holding).verdict).toBe('holds');
    while (holding - falling > 0.01) {
      const middle = (falling + holding) / 2;
      if (at(middle).margin!.distance < 0) falling = middle;
      else holding = middle;
    }
    expect(at(falling).margin!.distance).toBeGreaterThan(-0.003);
    expect(at(holding).margin!.distance).toBeLessThan(0.003);
  });

  it('may also lean against each other: hands push then', () => {
    const made = handInHand({ he: -20, she: -20, gap: 1.3, hands: 0.7, height: 1.2 });
    const report = assess(made);
    expect(report.groups[0]!.verdict).toBe('holds');
    expect(report.figures.map(({ verdict }) => verdict)).toEqual(['held', 'held']);
    expect(report.figures.map(({ margin }) => margin!.heading)).toEqual(['forwards', 'forwards']);
  });

  it('never have more room than the outline round all contacts leaves', () => {
    for (const she of [12, 14, 16, 18, 20, 22]) {
      const made = handInHand({ he: 14, she, gap: 0.51, hands: 0.25 });
      const { contacts, groups } = assess(made);
      const outline = supportPolygon(contacts.flatMap((contact) => contact.outline));
      for (const corner of groups[0]!.support.polygon)
        expect(signedMargin(corner, outline)).toBeGreaterThan(-1e-6);
    }
  });
});

describe('one on another', () => {
  it('standing on a crate: one group over the floor, alone over the crate', () => {
    const made = scene({
      figures: [figure('a', moved(standing(), [0, 0.3, 0]))],
      loads: [crate('crate', [0, 0.15, 0.05], [0.6, 0.3, 0.6])],
    });
    const report = assess(made);
    expect(report.groups).toHaveLength(1);
    expect(report.groups[0]!.members).toEqual(['a', 'crate']);
    expect(report.groups[0]!.support.contacts).toEqual(['crate']);
    expect(report.groups[0]!.verdict).toBe('holds');
    expect(report.figures[0]!.verdict).toBe('holds');
    expect(report.contacts.find(({ id }) => id === 'a/soleL')!.upon).toEqual({
      kind: 'load',
      load: 'crate',
    });
    // Leaning past the toes on a crate as wide as a room: the outline round all contacts is not enough.
    const wide = scene({
      figures: [figure('a', moved(posed({ lean: 25 }), [0, 0.3, 0]))],
      loads: [crate('crate', [0, 0.15, 0], [3, 0.3, 3], 40)],
    });
    expect(assess(wide).groups[0]!.verdict).toBe('falls');
    expect(assess(wide).groups[0]!.support.basis).toBe('region');
  });

  it('boxes stacked past their edges hold by each box, not by the outline on the floor', () => {
    // Harmonic overhang: the top brick of two may overhang by half its length, both together by a
    // quarter more (any mechanics textbook; mechanics.md 5.9).
    const stack = (over: number) =>
      scene({
        loads: [
          crate('low', [0, 0.05, 0], [0.2, 0.1, 0.1], 2),
          crate('top', [over, 0.15, 0], [0.2, 0.1, 0.1], 2),
        ],
      });
    const near = group(stack(0.095));
    expect(near.members).toEqual(['low', 'top']);
    expect(near.verdict).toBe('holds');
    expect(near.margin!.distance).toBeLessThan(0.005);
    expect(group(stack(0.105)).verdict).toBe('falls');
    expect(group(stack(0.105)).sentence).toMatch(/beyond where each can hold the other/);
  });

  it('sitting on a lap is carried by the thighs', () => {
    const sitting = posed({ thigh: { flexion: 90 }, shank: { flexion: 90 } }, MAN);
    const chair = box('chair', [0, 0.2, -0.1], [0.6, 0.4, 0.5], { kind: 'seat' });
    const host = figure('host', moved(sitting, [0, 0, 0]), { body: MAN });
    const alone = assess(scene({ surfaces: [FLOOR, chair], figures: [host] }));
    expect(alone.contacts.some(({ patch }) => patch === 'seat')).toBe(true);
    const child = { table: 'deleva-female', stature: 1.1, mass: 18 } as const;
    const guest = posed({ thigh: { flexion: 90 }, shank: { flexion: 90 } }, child);
    const lap = 0.62;
    const found = [0, 0.02, 0.04, 0.06, 0.08, 0.1, 0.12, 0.14, 0.16].flatMap((up) => {
      const report = assess(
        scene({
          surfaces: [FLOOR, chair],
          figures: [
            host,
            figure('child', moved(guest, [0, lap - guest.position[1] + up, 0.25]), { body: child }),
          ],
        }),
      );
      const seat = report.contacts.find(({ id }) => id.startsWith('child/seat'));
      return seat?.upon?.kind === 'figure' ? [report] : [];
    });
    expect(found.length).toBeGreaterThan(0);
    expect(found[0]!.groups).toHaveLength(1);
    expect(found[0]!.groups[0]!.members).toEqual(['child', 'host']);
  });

  it('feet side by side on one floor do not stand on each other', () => {
    const report = assess(
      scene({ figures: [figure('a', standing()), figure('b', moved(standing(), [0.3, 0, 0.05]))] }),
    );
    expect(report.contacts.every(({ upon }) => upon === undefined)).toBe(true);
    expect(report.groups).toHaveLength(2);
  });
});

describe('a load in the hands that touches what lies beneath', () => {
  const ankle = posed({ trunk: 60, upperArm: { flexion: 60 } });
  const withCrate = (offset: Vec3): Scene =>
    scene({ figures: [figure('a', ankle)], loads: [ball('weight', 20, held('a', offset))] });

  it('rests there: the figure alone carries nothing of it, the group shares it in any way', () => {
    const probe = assess(withCrate([0, 0, 0]));
    const y = probe.loads.weight!.centre[1];
    // The offset is in the chest's frame, which is tilted; the height is found by trying.
    let [low, high] = [-2, 2];
    const heightAt = (d: number) => assess(withCrate([0, d, 0])).loads.weight!.centre[1];
    expect(heightAt(0)).toBeCloseTo(y, 12);
    while (high - low > 1e-9) {
      const middle = (low + high) / 2;
      if (heightAt(middle) > 0.1) high = middle;
      else low = middle;
    }
    const resting = assess(withCrate([0, high, 0]));
    expect(resting.contacts.map(({ id }) => id)).toContain('weight');
    expect(resting.groups).toHaveLength(1);
    expect(resting.groups[0]!.mass).toBe(82);
    expect(resting.figures[0]!.carries).toEqual([]);
    expect(resting.figures[0]!.mass).toBe(62);
    const lifted = assess(withCrate([0, high + 0.1, 0]));
    expect(lifted.figures[0]!.carries).toEqual([{ load: 'weight', share: 1 }]);
  });
});

describe('kept supports', () => {
  it('give the same report as a first look', () => {
    const made = MEETING;
    const first = assess(made);
    for (const lean of [1, 2, 3, 4, 5, 6, 7, 8, 9, 10])
      assess(handInHand({ he: lean, she: lean, gap: 0.5, hands: 0.2 }));
    expect(assess(made)).toEqual(first);
    expect(assess(made)).toEqual(first);
  });
});
