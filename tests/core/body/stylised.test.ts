import { describe, expect, it } from 'vitest';
import {
  type Body,
  type BodySpec,
  buildBody,
  EXTRA_KINDS,
  EXTRA_RANGES,
  type ExtraSpec,
  FOOT_FORMS,
  freshExtra,
  SEGMENTS,
  TABLES,
} from '../../../core/body/index.ts';
import { fromAxisAngle, type Vec3 } from '../../../core/geometry/index.ts';
import { poseFigure, poseFromAngles } from '../../../core/pose/index.ts';
import { random as seeded } from '../../helpers/random.ts';

const massOf = (body: Body): number =>
  SEGMENTS.reduce((sum, name) => sum + body.segments[name].mass, 0);
const crown = (body: Body): number => {
  const posed = poseFigure(body, poseFromAngles({}, body));
  // From the hips up: arms that are too long would stand on their hands.
  const above = posed.segments.head.position[1] - posed.segments.pelvis.position[1];
  return body.hipHeight + above + body.segments.head.end[1];
};
const plain: BodySpec = { table: 'deleva-male', stature: 1.8, mass: 80 };
const tailed = (tail: Partial<ExtraSpec> = {}): BodySpec => ({
  ...plain,
  extras: { tail: { ...freshExtra('tail'), ...tail } },
});

describe('a stylised body', () => {
  it('closes to its mass and stature whatever is set (300 random bodies)', () => {
    const random = seeded(41);
    const between = (low: number, high: number): number => low + (high - low) * random();
    for (let i = 0; i < 300; i++) {
      const table = TABLES[Math.floor(random() * TABLES.length)]!;
      const overrides = Object.fromEntries(
        SEGMENTS.filter(() => random() < 0.4).map((name) => [
          name,
          { length: between(0.3, 3), girth: between(0.3, 3), mass: between(0.1, 8) },
        ]),
      );
      const extras = Object.fromEntries(
        EXTRA_KINDS.filter(() => random() < 0.5).map((kind, n): [string, ExtraSpec] => [
          `part${n}`,
          {
            ...freshExtra(kind),
            length: between(0.05, 0.9),
            mass: between(0, EXTRA_RANGES.mass[1]),
            curl: between(-2, 2),
            turn: fromAxisAngle([0, 0, 1], between(-1, 1)),
          },
        ]),
      );
      const spec: BodySpec = {
        table,
        stature: between(0.3, 6),
        mass: between(1, 900),
        age: between(4, 18),
        feet: FOOT_FORMS[Math.floor(random() * 3)]!,
        overrides,
        extras,
      };
      const body = buildBody(spec);
      expect(massOf(body) / spec.mass).toBeCloseTo(1, 9);
      const told =
        Object.values(body.weighed).reduce((sum, { mass }) => sum + mass, 0) +
        body.extras.reduce((sum, { mass }) => sum + mass, 0);
      expect(told / spec.mass).toBeCloseTo(1, 9);
      for (const { mass, published, factor, closing } of Object.values(body.weighed))
        expect(published * factor * closing * spec.mass).toBeCloseTo(mass, 9);
      const bent = Object.values(extras).some(({ kind }) => kind === 'neck');
      if (!bent) expect(crown(body) / spec.stature).toBeCloseTo(1, 9);
    }
  });

  it('gives an extra part exactly its share and closes the rest', () => {
    const body = buildBody(tailed({ mass: 0.1 }));
    expect(body.extras[0]!.mass).toBeCloseTo(8, 12);
    // de Leva's men, head 6.94 %, of the 90 % that are left.
    expect(body.weighed.head.mass).toBeCloseTo(0.0694 * 0.9 * 80, 9);
    expect(body.segments.pelvis.mass).toBeCloseTo(0.1117 * 0.9 * 80 + 8, 9);
  });

  it('has its centre where the parts have theirs', () => {
    const body = buildBody(tailed({ mass: 0.1 }));
    const without = buildBody(plain);
    const posed = poseFigure(body, poseFromAngles({}, body));
    const was = poseFigure(without, poseFromAngles({}, without));
    const { centre } = body.extras[0]!;
    const pelvis = posed.segments.pelvis.position;
    for (const axis of [0, 1, 2] as const) {
      const expected = 0.9 * was.centre[axis] + 0.1 * (pelvis[axis] + centre[axis]);
      expect(posed.centre[axis]).toBeCloseTo(expected, 9);
    }
    expect(posed.centre[2]).toBeLessThan(was.centre[2] - 0.03);
  });

  it('swings a tail by its turn, and curls it over its length', () => {
    const straight = buildBody(tailed()).extras[0]!;
    const turned = buildBody(tailed({ turn: fromAxisAngle([0, 1, 0], Math.PI / 2) })).extras[0]!;
    const root = straight.links[0]!.at.position;
    const arm = (from: Vec3): Vec3 => [from[0] - root[0], from[1] - root[1], from[2] - root[2]];
    const [x, y, z] = arm(straight.centre);
    expect(arm(turned.centre)[0]).toBeCloseTo(z, 12);
    expect(arm(turned.centre)[1]).toBeCloseTo(y, 12);
    expect(arm(turned.centre)[2]).toBeCloseTo(-x, 12);
    const curled = buildBody(tailed({ curl: 2 })).extras[0]!;
    expect(curled.links.at(-1)!.at.rotation).not.toEqual(straight.links.at(-1)!.at.rotation);
    expect(curled.mass).toBeCloseTo(straight.mass, 12);
  });

  it('stands a long neck under the head within the stature, and leans the head with it', () => {
    const neck = { ...freshExtra('neck'), length: 0.4 };
    const body = buildBody({ ...plain, extras: { neck } });
    expect(crown(body)).toBeCloseTo(1.8, 9);
    const { chest, head } = body.segments;
    expect(head.offset[1] - chest.end[1]).toBeCloseTo(0.4 * 1.8, 9);
    const leant = buildBody({
      ...plain,
      extras: { neck: { ...neck, turn: fromAxisAngle([1, 0, 0], Math.PI / 2) } },
    });
    expect(leant.segments.head.offset[2]).toBeCloseTo(0.4 * 1.8, 9);
  });

  it('scales extra parts that weigh more than nine tenths together', () => {
    const parts = ['a', 'b'].map((id) => [id, { ...freshExtra('hump'), mass: 0.6 }]);
    const body = buildBody({ ...plain, extras: Object.fromEntries(parts) });
    expect(body.extras.reduce((sum, { mass }) => sum + mass, 0)).toBeCloseTo(72, 9);
    expect(massOf(body)).toBeCloseTo(80, 9);
  });

  it('refuses parts and ages out of range, by name', () => {
    expect(() => buildBody(tailed({ mass: 2 }))).toThrow(/mass of tail must lie between 0 and 0.6/);
    expect(() => buildBody({ ...plain, table: 'jensen-child', age: 2 })).toThrow(/Age/);
  });

  it.each(['paw', 'hoof'] as const)('carries on the whole of a %s', (feet) => {
    const body = buildBody({ ...plain, feet });
    const { outline, functional } = body.patches.soleL;
    const extent = (points: readonly Vec3[], axis: 0 | 2): number =>
      Math.max(...points.map((p) => p[axis])) - Math.min(...points.map((p) => p[axis]));
    expect(functional).not.toBeNull();
    expect(extent(functional!, 2)).toBeCloseTo(body.footLength, 9);
    expect(extent(functional!, 0)).toBeCloseTo(extent(outline, 0), 9);
    expect(crown(body)).toBeCloseTo(1.8, 9);
    // The body's weight still comes down on it.
    const posed = poseFigure(body, poseFromAngles({}, body));
    const along = functional!.map((p) => p[2] + posed.segments.footL.position[2]);
    expect(posed.centre[2]).toBeGreaterThan(Math.min(...along));
    expect(posed.centre[2]).toBeLessThan(Math.max(...along));
  });
});
