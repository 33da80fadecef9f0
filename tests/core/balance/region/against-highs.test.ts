import { describe, expect, it } from 'vitest';
import { equilibriumRegion } from '../../../../core/balance/region/index.ts';
import { contactSet } from '../../../helpers/contact-sets.ts';
import { highsRegion } from '../../../helpers/highs-region.ts';

// Source of the reference: HiGHS (npm `highs`), direct linear programs, see helpers/highs-region.ts.

const DIRECTIONS = Array.from({ length: 64 }, (_, i) => {
  const a = (2 * Math.PI * i) / 64;
  return [Math.cos(a), Math.sin(a)] as const;
});
const BLOCK = 50;

describe('region against direct linear programs', () => {
  for (let first = 1; first <= 500; first += BLOCK)
    it(`support in 64 directions within 1 mm, seeds ${first} to ${first + BLOCK - 1}`, async () => {
      let regions = 0;
      for (let seed = first; seed < first + BLOCK; seed++) {
        const contacts = contactSet(seed);
        const ours = equilibriumRegion(contacts, { edges: 16 });
        const highs = await highsRegion(contacts, 16);
        const answers = DIRECTIONS.map(([x, z]) => highs.support(x, z));
        highs.close();
        const statuses = new Set(answers.map((a) => a.status));
        const kind = statuses.has('infeasible')
          ? 'empty'
          : statuses.has('unbounded')
            ? 'unbounded'
            : 'region';
        expect(ours.kind, `seed ${seed}`).toBe(kind);
        if (ours.kind !== 'region') continue;
        regions++;
        DIRECTIONS.forEach(([x, z], i) => {
          const h = Math.max(...ours.vertices.map((v) => x * v[0] + z * v[1]));
          expect(Math.abs(h - answers[i]!.value), `seed ${seed}, direction ${i}`).toBeLessThan(
            1e-3,
          );
        });
      }
      expect(regions).toBeGreaterThan(BLOCK / 5);
    }, 60_000);
});

describe('round cones against pyramids inside and outside them', () => {
  it('lies between the 64-edge inner and outer programs, seeds 1 to 40', async () => {
    let regions = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const contacts = contactSet(seed);
      const ours = equilibriumRegion(contacts);
      if (ours.kind !== 'region') continue;
      regions++;
      const inner = await highsRegion(contacts, 64, 'inner');
      const outer = await highsRegion(contacts, 64, 'outer');
      for (const [x, z] of DIRECTIONS) {
        const h = Math.max(...ours.vertices.map((v) => x * v[0] + z * v[1]));
        const least = inner.support(x, z);
        const most = outer.support(x, z);
        if (least.status === 'optimal')
          expect(h + ours.error_m, `seed ${seed}`).toBeGreaterThan(least.value - 1e-6);
        if (most.status === 'optimal') expect(h, `seed ${seed}`).toBeLessThan(most.value + 1e-6);
      }
      inner.close();
      outer.close();
    }
    expect(regions).toBeGreaterThan(20);
  }, 60_000);
});
