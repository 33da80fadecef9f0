import { describe, expect, it } from 'vitest';
import { headingOf } from '../../../core/balance/heading.ts';
import { marginOf } from '../../../core/balance/margin.ts';
import { inWords } from '../../../core/balance/sentence.ts';
import { type Ground, supportOf } from '../../../core/balance/support.ts';
import type { Margin, Support } from '../../../core/balance/types.ts';
import { verdictOf } from '../../../core/balance/verdict.ts';
import { weigh } from '../../../core/balance/weight.ts';

const support = (kind: Support['kind']): Support => ({
  kind,
  polygon: [],
  functional: [],
  area: 0,
  contacts: kind === 'none' ? [] : ['a/soleL'],
  basis: 'hull',
  exact: true,
});

const margin = (distance: number, functional: number | null = distance): Margin => ({
  distance,
  ratio: null,
  functional,
  edge: { from: [0, 0], to: [0, 0], nearest: [0, 0] },
  direction: [0, 1],
  heading: 'forwards',
  footShare: null,
  tipAngle: 0,
});

const PLUMB = [0, 0] as const;

describe('verdictOf', () => {
  it('holds over the functional part, teeters over the rest, falls outside, edges counting as inside', () => {
    expect(verdictOf(support('area'), margin(0.05), PLUMB)).toBe('holds');
    expect(verdictOf(support('area'), margin(0.05, 0), PLUMB)).toBe('holds');
    expect(verdictOf(support('area'), margin(0.05, -0.001), PLUMB)).toBe('teeters');
    expect(verdictOf(support('area'), margin(0.05, null), PLUMB)).toBe('teeters');
    expect(verdictOf(support('area'), margin(0, -0.05), PLUMB)).toBe('teeters');
    expect(verdictOf(support('area'), margin(-1e-6), PLUMB)).toBe('falls');
  });

  it('teeters at best on a line or a point, within half a centimetre', () => {
    expect(verdictOf(support('line'), margin(0), PLUMB)).toBe('teeters');
    expect(verdictOf(support('line'), margin(-0.0049), PLUMB)).toBe('teeters');
    expect(verdictOf(support('point'), margin(-0.0051), PLUMB)).toBe('falls');
  });

  it('is braced without limit where the region has no edge, and teeters beyond its functional part', () => {
    const square = [
      [-1, -1],
      [1, -1],
      [1, 1],
      [-1, 1],
    ] as const;
    const braced = { ...support('area'), unbounded: true, functional: square };
    expect(verdictOf(braced, null, PLUMB)).toBe('holds');
    expect(verdictOf(braced, null, [3, 0])).toBe('teeters');
  });

  it('tells the air from a surface that cannot carry', () => {
    expect(verdictOf(support('none'), null, PLUMB)).toBe('airborne');
    expect(verdictOf({ ...support('none'), contacts: ['a/back'] }, null, PLUMB)).toBe('falls');
  });
});

describe('headingOf', () => {
  it('names eight directions by the facing', () => {
    const forward = [0, 1] as const;
    expect(headingOf([0, 1], forward)).toBe('forwards');
    expect(headingOf([1, 0], forward)).toBe('to the left');
    expect(headingOf([-1, 0], forward)).toBe('to the right');
    expect(headingOf([0, -1], forward)).toBe('backwards');
    expect(headingOf([0.7, 0.7], forward)).toBe('forwards and to the left');
    expect(headingOf([-0.7, -0.7], forward)).toBe('backwards and to the right');
    // Facing +x, the figure's left is -z.
    expect(headingOf([0, -1], [1, 0])).toBe('to the left');
    expect(headingOf([0.7, 0.7], [1, 0])).toBe('forwards and to the right');
  });

  it('says the shorter word on the border between two, whatever the last digit is', () => {
    for (const noise of [-1e-12, 0, 1e-12]) {
      const turn = Math.PI / 8 + noise;
      expect(headingOf([Math.sin(turn), Math.cos(turn)], [0, 1])).toBe('forwards');
      expect(headingOf([Math.cos(turn), Math.sin(turn)], [0, 1])).toBe('to the left');
    }
  });
});

describe('a body that stands in the middle of its support', () => {
  const hull = (noise: number): Ground => ({
    support: supportOf(
      [
        [-0.1 + noise, -0.2],
        [0.1, -0.2],
        [0.1, 0.2],
        [-0.1 + noise, 0.2],
      ],
      [],
      ['a/soleL'],
      'hull',
      true,
    ),
    radius: 0.1,
    level: 0,
    slips: false,
    joined: false,
    points: null,
    open: [],
    functionalOpen: [],
  });

  it('is told to lie as near to its left, whatever the last digit is', () => {
    for (const noise of [-1e-12, 0, 1e-12]) {
      const margin = marginOf([0, 1, 0], hull(noise), [0, 1], null)!;
      expect(margin.heading).toBe('to the left');
      expect(margin.distance).toBeCloseTo(0.1, 9);
    }
    expect(marginOf([0, 1, 0], hull(0.001), [0, 1], null)!.heading).toBe('to the right');
  });
});

describe('weigh', () => {
  it('is sum(m c) / sum(m)', () => {
    const parts = [
      { name: 'a', mass: 60, centre: [0, 1, 0] },
      { name: 'b', mass: 20, centre: [0.4, 1.4, -0.8] },
    ] as const;
    const { mass, centre } = weigh(parts);
    expect(mass).toBe(80);
    expect(centre).toEqual([
      expect.closeTo(0.1, 12),
      expect.closeTo(1.1, 12),
      expect.closeTo(-0.2, 12),
    ]);
  });

  it('names what is missing, and never gives NaN', () => {
    const at = [1, 2, 3] as const;
    const known = { name: 'a', mass: 60, centre: at };
    const open = { name: 'crate', mass: null, centre: at };
    expect(weigh([known, open])).toEqual({ mass: null, centre: null, missing: ['crate'] });
    expect(weigh([open])).toEqual({ mass: null, centre: at, missing: [] });
    expect(weigh([{ name: 'a', mass: 0, centre: at }]).centre).toBeNull();
    const nothing = { name: 'a', mass: 0, centre: at };
    expect(weigh([nothing, nothing])).toEqual({ mass: 0, centre: null, missing: [] });
    expect(weigh([])).toEqual({ mass: 0, centre: null, missing: [] });
  });
});

describe('inWords', () => {
  it('gives centimetres to the millimetre and metres from one metre on', () => {
    expect(inWords(0.0612)).toBe('6.1 cm');
    expect(inWords(0.9994)).toBe('99.9 cm');
    expect(inWords(1)).toBe('1.00 m');
    expect(inWords(2.345)).toMatch(/^2\.3[45] m$/);
  });
});
