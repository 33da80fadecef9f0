import { describe, expect, it } from 'vitest';
import {
  type Body,
  type BodySpec,
  buildBody,
  SEGMENTS,
  TABLES,
  tableInfo,
} from '../../../core/body/index.ts';
import { distance, type Vec3 } from '../../../core/geometry/index.ts';
import { poseFigure, poseFromAngles } from '../../../core/pose/index.ts';

const upright = (spec: BodySpec) => {
  const body = buildBody(spec);
  return poseFigure(body, poseFromAngles({}, body));
};
const crown = (spec: BodySpec): number => {
  const posed = upright(spec);
  return posed.segments.head.position[1] + posed.body.segments.head.end[1];
};
const sum = (body: Body): number =>
  SEGMENTS.reduce((total, name) => total + body.segments[name].mass, 0);

describe('a built body', () => {
  it.each(TABLES)('%s: stands at its stature, weighs its mass, has its source', (table) => {
    for (const stature of [1.1, 1.6, 1.741, 2]) {
      const spec = { table, stature, mass: 63 };
      expect(Math.abs(crown(spec) - stature)).toBeLessThan(1e-9);
      expect(sum(buildBody(spec))).toBeCloseTo(63, 9);
    }
    expect(tableInfo(table).source).toMatch(/de Leva P? ?\(1996\)|Winter DA \(2009\)/);
  });

  it('has its centre at 0.53-0.59 of the stature, men above women (McGinnis 2005; Winter 2009)', () => {
    const share = (table: BodySpec['table']) =>
      upright({ table, stature: 1.7, mass: 65 }).centre[1] / 1.7;
    for (const table of TABLES.filter((name) => !name.startsWith('jensen'))) {
      expect(share(table)).toBeGreaterThan(0.53);
      expect(share(table)).toBeLessThan(0.59);
    }
    expect(share('deleva-male')).toBeGreaterThan(share('deleva-female'));
    // de Leva's lengths stacked upright: 1.003 of 1.741 m and 0.960 of 1.735 m (own sums, checks 3).
    expect(upright({ table: 'deleva-male', stature: 1.741, mass: 73 }).centre[1]).toBeCloseTo(
      1.003,
      2,
    );
    expect(upright({ table: 'deleva-female', stature: 1.735, mass: 61.9 }).centre[1]).toBeCloseTo(
      0.96,
      2,
    );
    // A child's larger head raises it (checks 3, no number read).
    expect(share('jensen-child')).toBeGreaterThan(share('deleva-male'));
    // Winter, head, trunk and arms apart: 0.577.
    expect(share('dempster-winter')).toBeCloseTo(0.577, 2);
  });

  it("keeps de Leva's limb lengths at the reference stature", () => {
    const { segments } = buildBody({ table: 'deleva-male', stature: 1.741, mass: 73 });
    expect(segments.shankL.offset[1]).toBeCloseTo(-0.4222, 9);
    expect(segments.footR.offset[1]).toBeCloseTo(-0.4403, 9);
    expect(segments.handL.offset[1]).toBeCloseTo(-0.2689, 9);
    expect(segments.thighL.mass).toBeCloseTo(0.1416 * 73, 9);
  });

  it('has feet of measured proportions (Winter Fig. 4.1, ANSUR II 2012)', () => {
    const body = buildBody({ table: 'deleva-female', stature: 1.735, mass: 62 });
    expect(body.footLength).toBeCloseTo(0.152 * 1.735, 9);
    const { outline } = body.patches.soleL;
    const heel = Math.min(...outline.map(([, , z]) => z));
    expect(-heel / body.footLength).toBeGreaterThan(0.2);
    expect(-heel / body.footLength).toBeLessThan(0.24);
    const tip =
      body.segments.toesL.offset[2] + Math.max(...body.patches.toesL.outline.map(([, , z]) => z));
    expect(tip - heel).toBeCloseTo(body.footLength, 9);
    const wide = outline.map(([x]) => x);
    expect(Math.max(...wide) - Math.min(...wide)).toBeCloseTo(0.055 * 1.735, 9);
    // Sole and toes lie in one plane, ankle height under the ankle.
    const toesAt = body.segments.toesL.offset[1] + (body.patches.toesL.outline[0]?.[1] ?? 0);
    expect(toesAt).toBeCloseTo(-0.039 * 1.735, 9);
    expect(outline.every(([, y]) => Math.abs(y + 0.039 * 1.735) < 1e-9)).toBe(true);
  });

  it('carries itself over about 10-80 % of the foot (Millard & Sloot 2025), mirrored right to left', () => {
    const { patches, footLength } = buildBody({ table: 'deleva-male', stature: 1.8, mass: 70 });
    const functional = patches.soleL.functional ?? [];
    const along = functional.map(([, , z]) => z / footLength + 0.21);
    expect(Math.min(...along)).toBeCloseTo(0.109, 2);
    expect(Math.max(...along)).toBeCloseTo(0.809, 2);
    // The published left foot reaches farther to its outer side, which is +x.
    expect(Math.max(...functional.map(([x]) => x))).toBeGreaterThan(
      -Math.min(...functional.map(([x]) => x)),
    );
    patches.soleR.functional?.forEach(([x, y, z], i) => {
      expect(
        distance(
          [x, y, z],
          [-(functional[i]?.[0] ?? 0), functional[i]?.[1] ?? 0, functional[i]?.[2] ?? 0],
        ),
      ).toBeLessThan(1e-12);
    });
  });

  it('has convex outlines in order, in the plane of their normal', () => {
    const { patches } = buildBody({ table: 'deleva-male', stature: 1.75, mass: 70 });
    for (const { name, outline, functional, normal } of Object.values(patches)) {
      for (const shape of [outline, ...(functional ? [functional] : [])]) {
        const corners = shape.map((p, i) => turnAt(shape, i, normal, p));
        expect(corners.every((c) => c > -1e-9) || corners.every((c) => c < 1e-9), name).toBe(true);
        const heights = shape.map(([x, y, z]) => x * normal[0] + y * normal[1] + z * normal[2]);
        expect(Math.max(...heights) - Math.min(...heights), name).toBeLessThan(1e-12);
      }
    }
  });
});

function turnAt(shape: readonly Vec3[], i: number, n: Vec3, p: Vec3): number {
  const q = shape[(i + 1) % shape.length] as Vec3;
  const r = shape[(i + 2) % shape.length] as Vec3;
  const a = [q[0] - p[0], q[1] - p[1], q[2] - p[2]] as const;
  const b = [r[0] - q[0], r[1] - q[1], r[2] - q[2]] as const;
  return (
    (a[1] * b[2] - a[2] * b[1]) * n[0] +
    (a[2] * b[0] - a[0] * b[2]) * n[1] +
    (a[0] * b[1] - a[1] * b[0]) * n[2]
  );
}

describe('overrides', () => {
  const plain: BodySpec = { table: 'deleva-female', stature: 1.1, mass: 30 };

  it('close to the stature and the mass again, with longer legs longer against the trunk', () => {
    const spec: BodySpec = {
      ...plain,
      overrides: {
        head: { length: 2.2, mass: 3.5, girth: 2 },
        thighL: { length: 0.8 },
        thighR: { length: 0.8 },
      },
    };
    const body = buildBody(spec);
    expect(Math.abs(crown(spec) - 1.1)).toBeLessThan(1e-9);
    expect(sum(body)).toBeCloseTo(30, 9);
    const ratio = (b: Body) => b.segments.head.end[1] / b.segments.shankL.offset[1];
    expect(ratio(body) / ratio(buildBody(plain))).toBeCloseTo(2.2 / 0.8, 9);
    expect(body.segments.head.mass / body.segments.chest.mass).toBeCloseTo(
      (0.0668 * 3.5) / 0.1545,
      9,
    );
    // A big-headed figure carries its centre higher (own estimate of the demo show, about 0.49 of 1.10 m with short legs).
    expect(upright(spec).centre[1]).not.toBeCloseTo(upright(plain).centre[1], 3);
    expect(body.remarks.join(' ')).toContain('scaled');
  });

  it('widen a foot by its girth, hips and shoulders by their width', () => {
    const body = buildBody({
      ...plain,
      overrides: { footL: { girth: 1.5 }, pelvis: { width: 1.3 }, chest: { width: 0.5 } },
    });
    const bare = buildBody(plain);
    const wide = (b: Body) => Math.max(...b.patches.soleL.outline.map(([x]) => x));
    expect(wide(body) / wide(bare)).toBeCloseTo(1.5, 9);
    expect(body.segments.thighL.offset[0] / bare.segments.thighL.offset[0]).toBeCloseTo(1.3, 9);
    expect(body.segments.upperArmR.offset[0] / bare.segments.upperArmR.offset[0]).toBeCloseTo(
      0.5,
      9,
    );
    expect(Math.abs(crown(body.spec) - 1.1)).toBeLessThan(1e-9);
  });

  it('are refused beyond reason, with the numbers', () => {
    expect(() => buildBody({ ...plain, stature: 0 })).toThrow(
      /Stature must lie between 0.2 and 20 m, got 0/,
    );
    expect(() => buildBody({ ...plain, mass: Number.NaN })).toThrow(RangeError);
    expect(() => buildBody({ ...plain, overrides: { head: { length: -1 } } })).toThrow(
      /length factor of head/,
    );
  });

  it('of the same values give the same body', () => {
    const spec = (): BodySpec => ({ ...plain, overrides: { head: { length: 1.5 } } });
    expect(buildBody(spec())).toBe(buildBody(spec()));
    expect(buildBody(spec())).not.toBe(buildBody(plain));
  });
});
