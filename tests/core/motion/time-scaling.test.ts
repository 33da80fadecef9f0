import { describe, expect, it } from 'vitest';
import { FASTEST, slowestShare, tellTiming } from '../../../core/motion/index.ts';

describe('the slowest share that carries', () => {
  it.each([
    ['slower than drawn', 0.37, 0.37],
    ['a little slower', 0.995, 1],
    ['faster than drawn', 1.6, 1.6],
    ['the fastest that is tried', FASTEST, FASTEST],
  ])('%s: found to a hundredth', (_, limit, expected) => {
    const found = slowestShare((share) => share < limit);
    expect(found).toBeGreaterThanOrEqual(limit);
    expect(found).toBeLessThanOrEqual(expected + 0.0101);
  });

  it('is 0 where nothing ever falls, null where everything does', () => {
    expect(slowestShare(() => false)).toBe(0);
    expect(slowestShare(() => true)).toBeNull();
  });

  it('asks no more than some dozen times', () => {
    for (const limit of [0.013, 0.5, 1.05, 3.9]) {
      let asked = 0;
      slowestShare((share) => {
        asked++;
        return share < limit;
      });
      expect(asked, `limit ${limit}`).toBeLessThan(20);
    }
  });
});

describe('in sentences', () => {
  const base = { frameCount: 40, stopsFrom: 12 };
  it.each([
    [0.262, /still carries at 26 % of its speed; slower, it falls/],
    [0, /holds at any speed/],
    [1.31, /As drawn it falls; at 131 % of its speed nothing falls/],
    [null, /up to 4 times its speed\. The poses have to change/],
  ] as const)('%s', (slowest, said) => {
    expect(tellTiming({ ...base, slowest })[0]).toMatch(said);
  });

  it('tells from when a stop would hold; nothing of a single pose', () => {
    expect(tellTiming(base)).toEqual(['From frame 12 on a stop would hold.']);
    expect(tellTiming({ ...base, stopsFrom: 0 })).toEqual(['At every frame a stop would hold.']);
    expect(tellTiming({ ...base, stopsFrom: null })).toEqual([
      'The clip ends before a stop would hold.',
    ]);
    expect(tellTiming({ frameCount: 1, stopsFrom: 0 })).toEqual([]);
  });
});
