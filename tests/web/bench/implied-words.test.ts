import { describe, expect, it } from 'vitest';
import { assess, study } from '../../../core/balance/index.ts';
import { demoReview } from '../../../demo-data/index.ts';
import {
  answerOf,
  bandOn,
  bandWords,
  impliedOf,
  mustRows,
  scaleEnd,
  standsAt,
} from '../../../web/bench/implied-words.ts';
import { show } from '../../../web/bench/shown.ts';

const range = (least_kg: number, most_kg: number | null) => ({
  kind: 'range' as const,
  least_kg,
  most_kg,
  leastShare: least_kg / 60,
  mostShare: most_kg === null ? null : most_kg / 60,
});

const draft = (code: string, at: number) =>
  demoReview().shots.find((shot) => shot.code === code)!.drafts[at]!.scene;

describe('a band of masses', () => {
  it('is said plainly, whatever it is', () => {
    expect(bandWords({ kind: 'none' })).toBe('none');
    expect(bandWords(range(0, null))).toBe('any');
    expect(bandWords(range(0, 46.2))).toBe('any up to 46 kg');
    expect(bandWords(range(12, null))).toBe('12 kg or more');
    expect(bandWords(range(4.5, 46.2))).toBe('4.5 to 46 kg');
  });

  it('lies on the scale as far as that goes', () => {
    expect(bandOn(range(10, 30), 40)).toEqual({ from: 0.25, to: 0.75 });
    expect(bandOn(range(10, null), 40)).toEqual({ from: 0.25, to: 1 });
    expect(bandOn(range(50, 60), 40)).toBeNull();
    expect(bandOn({ kind: 'none' }, 40)).toBeNull();
  });
});

describe('the scale of a load', () => {
  const unknown = draft('SCK-0035', 0);
  const answer = answerOf(impliedOf(study(unknown), 'sack'))!;

  it('shows the whole answer, and what is set however heavy', () => {
    const end = scaleEnd(null, answer);
    if (answer.teeters.kind !== 'range') throw new Error('no range');
    expect(end).toBeGreaterThan(answer.teeters.most_kg!);
    expect(end % 10).toBe(0);
    expect(scaleEnd(950, answer)).toBe(950);
    expect(scaleEnd(null, null)).toBe(60);
  });

  it('tells where the slider stands as the balance does', () => {
    for (const mass of [0, 5, 20, 40, 44, 50, 80, 95, 120]) {
      const loads = unknown.loads.map((load) => ({ ...load, mass }));
      const { verdict } = assess({ ...unknown, loads }).groups[0]!;
      expect(standsAt(mass, answer), `${mass} kg`).toBe(verdict);
    }
  });
});

describe('what must be so', () => {
  it('has a row for each load and each partner, with its sentence', () => {
    const rows = (code: string, at: number) => {
      const scene = draft(code, at);
      return mustRows(show(scene, assess(scene)), study(scene).groups[0]!);
    };
    const sack = rows('SCK-0035', 0);
    expect(sack.map(({ name }) => name)).toEqual(['weight of Sack', 'Sack farther out']);
    expect(sack[0]!.value).toMatch(/^any up to \d+ kg$/);
    expect(sack[1]!.value).toBe('cannot tell');
    const pair = rows('LTG-0080', 0);
    expect(pair.map(({ name }) => name)).toEqual(['weight of Aunt', 'weight of Harvest boy']);
    for (const { sentence } of pair) expect(sentence).toMatch(/^The group holds with/);
  });
});
