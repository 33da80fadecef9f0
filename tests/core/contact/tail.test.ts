import { describe, expect, it } from 'vitest';
import { assess, study } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import { creature } from './creature.ts';

describe('the tip of a tail', () => {
  it('is a third leg where it is planted, and nothing where it is lifted', () => {
    const [up, down] = [creature(12, 'lifted'), creature(12, 'planted')];
    expect(assess(up).groups[0]!.verdict).toBe('falls');
    const { verdict, support } = assess(down).groups[0]!;
    expect(verdict).toBe('holds');
    expect(support.contacts).toContain('a/tailTip');
    expect(assess(down).groups[0]!.sentence).toMatch(/The tail tip counts with the half/);
  });

  it('bears the share that moments about the heels ask for (lever rule), half the weight at most', () => {
    const of = creature(12, 'planted');
    const { loads } = study(of).groups[0]!;
    if (loads.kind !== 'told') throw new Error(loads.sentence);
    const tail = loads.contacts.find(({ patch }) => patch === 'tailTip')!;
    const report = assess(of);
    const [, , centre] = report.groups[0]!.centre!;
    const zs = (patch: RegExp) =>
      report.contacts.filter((c) => patch.test(c.patch)).flatMap((c) => c.outline.map((p) => p[2]));
    const [heel, back] = [Math.min(...zs(/^sole/)), Math.max(...zs(/^tailTip/))];
    // All that the feet can bear lies ahead of the heels: at least this much is left to the tail.
    expect(tail.share.least).toBeGreaterThanOrEqual(
      (heel - centre) / (heel - Math.min(...zs(/^tailTip/))) - 1e-6,
    );
    expect(tail.share.most).toBeLessThanOrEqual(0.5 + 1e-9);
    expect(back).toBeLessThan(heel);
  });

  it('is no patch of a body without a tail', () => {
    expect(
      buildBody({ table: 'deleva-female', stature: 1.2, mass: 30 }).patches.tailTip.outline,
    ).toEqual([]);
  });
});
