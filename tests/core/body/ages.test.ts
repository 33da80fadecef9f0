import { describe, expect, it } from 'vitest';
import { buildBody, tableInfo, usualSize } from '../../../core/body/index.ts';
import { JENSEN_CHILD, JENSEN_ELDERLY } from '../../../core/body/tables/jensen.ts';
import { polygonArea } from '../../../core/geometry/index.ts';

const child = (age: number) => buildBody({ table: 'jensen-child', age, ...usualSize(age) });

describe('bodies by age', () => {
  it.each([6, 12, 15, 18] as const)('weighs a child of %d as Jensen printed it', (age) => {
    const row = JENSEN_CHILD[age];
    const limbs = row.upperArm + row.forearm + row.hand + row.thigh + row.shank + row.foot;
    const printed = row.head + row.trunk + 2 * limbs;
    // Sums as given with the data: 1.002, 1.002, 0.999, 1.002.
    expect(printed).toBeCloseTo({ 6: 1.002, 12: 1.002, 15: 0.999, 18: 1.002 }[age], 9);
    const body = child(age);
    const { mass } = body.spec;
    const share = (name: keyof typeof body.segments) => body.segments[name].mass / mass;
    expect(share('head')).toBeCloseTo(row.head / printed, 9);
    expect(share('pelvis') + share('abdomen') + share('chest')).toBeCloseTo(row.trunk / printed, 9);
    for (const kind of ['upperArm', 'forearm', 'hand', 'thigh', 'shank', 'foot'] as const)
      expect(share(`${kind}L`)).toBeCloseTo(row[kind] / printed, 9);
  });

  it('gives the head of 4 years by the published curve (Jensen 1989: 0.2027)', () => {
    const body = child(4);
    expect(body.segments.head.mass / body.spec.mass).toBeCloseTo(0.2027, 4);
  });

  it('runs evenly between the printed ages, heads lighter and legs longer with the years', () => {
    let last = child(4);
    for (let age = 4.5; age <= 15; age += 0.5) {
      const body = child(age);
      const head = ({ segments, spec }: typeof body) => segments.head.mass / spec.mass;
      const tall = ({ segments, spec }: typeof body) => segments.head.end[1] / spec.stature;
      const hips = ({ hipHeight, spec }: typeof body) => hipHeight / spec.stature;
      expect(head(body)).toBeLessThan(head(last));
      expect(tall(body)).toBeLessThan(tall(last));
      expect(hips(body)).toBeGreaterThanOrEqual(hips(last) - 1e-12);
      last = body;
    }
  });

  it.each(['female', 'male'] as const)(
    'weighs older %ss as Jensen & Fletcher printed it',
    (sex) => {
      const row = JENSEN_ELDERLY[sex];
      const body = buildBody({ table: `jensen-elderly-${sex}`, stature: 1.65, mass: 70 });
      const limbs = row.upperArm + row.forearm + row.hand + row.thigh + row.shank + row.foot;
      const printed = row.head + row.thorax + row.lowerTrunk + 2 * limbs;
      expect(printed).toBeCloseTo(sex === 'female' ? 1 : 1.002, 9);
      const share = (name: keyof typeof body.segments) => body.segments[name].mass / 70;
      expect(share('head')).toBeCloseTo(row.head / printed, 9);
      expect(share('chest')).toBeCloseTo(row.thorax / printed, 9);
      expect(share('abdomen') + share('pelvis')).toBeCloseTo(row.lowerTrunk / printed, 9);
      expect(share('thighR')).toBeCloseTo(row.thigh / printed, 9);
      expect(tableInfo(`jensen-elderly-${sex}`).source).toContain('27:89-96');
    },
  );

  it('shrinks the functional foot from 60 on to 58 % (Sloot et al. 2025; King et al. 1994)', () => {
    const area = (table: 'deleva-male' | 'jensen-elderly-male'): number =>
      Math.abs(
        polygonArea(
          buildBody({ table, stature: 1.7, mass: 70 }).patches.soleL.functional!.map(([x, , z]) => [
            x,
            z,
          ]),
        ),
      );
    expect(area('jensen-elderly-male') / area('deleva-male')).toBeCloseTo(0.58, 9);
  });
});
