import { describe, expect, it } from 'vitest';
import { assess, study } from '../../../../core/balance/index.ts';
import {
  fromAxisAngle,
  IDENTITY,
  type Quat,
  signedMargin,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import type { Load, Scene } from '../../../../core/scene/index.ts';
import { caseById } from '../../../helpers/equilibrium-cases.ts';
import { MEETING } from '../pairs.ts';
import { box, FLOOR, figure, MAN, posed, scene, standing, WOMAN } from '../scenes.ts';

const first = (made: Scene) => study(made).groups[0]!;
const told = <T extends { kind: string; sentence: string }>(answer: T) => {
  if (answer.kind !== 'told') throw new Error(answer.sentence);
  return answer as Extract<T, { kind: 'told' }>;
};

const block = (size: Vec3, mass: number, y: number, rotation: Quat = IDENTITY): Load => ({
  id: 'block',
  name: 'Block',
  shape: { kind: 'box', size },
  mass,
  place: { kind: 'standing', position: [0, y, 0], rotation },
});

describe('a block', () => {
  it('tips at 14.036 degrees and takes 6.03833 J (case o17)', () => {
    // 0.2 m wide, centre 0.4 m high, 50 kg.
    const { expected } = caseById('o17-block-tip');
    const tipping = told(first(scene({ loads: [block([0.2, 0.8, 0.3], 50, 0.4)] })).tipping);
    expect((tipping.weakest.angle * 180) / Math.PI).toBeCloseTo(14.036, 3);
    expect(tipping.weakest.ends).toBe('tips');
    expect(tipping.energy_J!).toBeCloseTo(expected.energy_J, 5);
    expect(tipping.rise_m!).toBeCloseTo(0.0123106, 6);
  });

  it('slides where friction ends before the edge: tilt atan mu (mechanics.md 1.4)', () => {
    const ice = { ...FLOOR, friction: 0.1 };
    const group = first(scene({ surfaces: [ice], loads: [block([0.2, 0.8, 0.3], 50, 0.4)] }));
    const { weakest } = told(group.tipping);
    expect(weakest.ends).toBe('slides');
    expect(weakest.angle).toBeCloseTo(Math.atan(0.1), 9);
    expect(told(group.friction).first).toBe('slides');
    expect(told(group.friction).needed).toBe(0);
    expect(group.friction.sentence).toBe(
      'Needs no friction to stand like this. Tilted, it slides before it tips.',
    );
  });

  it('on a slope needs the tangent of its angle (mechanics.md 5.8)', () => {
    const slope = fromAxisAngle([0, 0, 1], 0.3);
    const ramp = { ...FLOOR, rotation: slope, friction: 0.5 };
    const at: Vec3 = [-Math.sin(0.3) * 0.1, Math.cos(0.3) * 0.1, 0];
    const load = { ...block([0.4, 0.2, 0.4], 5, 0, slope) };
    const group = first(
      scene({
        surfaces: [ramp],
        loads: [{ ...load, place: { kind: 'standing', position: at, rotation: slope } }],
      }),
    );
    const friction = told(group.friction);
    expect(friction.needed).toBeCloseTo(Math.tan(0.3), 3);
    expect(friction.scale).toBeCloseTo(Math.tan(0.3) / 0.5, 3);
    expect(friction.available).toBe(0.5);
    expect(friction.sentence).toMatch(
      /^Needs a friction of 0\.31; it uses 62 % of what there is\./,
    );
    const slippery = first(
      scene({
        surfaces: [{ ...ramp, friction: 0.2 }],
        loads: [{ ...load, place: { kind: 'standing', position: at, rotation: slope } }],
      }),
    );
    expect(slippery.friction.sentence).toBe(
      'Slides: it needs a friction of 0.31, and there is 0.20.',
    );
  });
});

describe('a figure', () => {
  it('takes a push of W d / h before it tips, or mu W before it slides (mechanics.md 5.10)', () => {
    const made = scene({ figures: [figure('a', standing())] });
    const reading = assess(made).groups[0]!;
    const weight = WOMAN.mass * 9.81;
    const pushed = (pushHeight: number, friction = 0.8) => {
      const floor = { ...FLOOR, friction };
      const { pushes } = study({ ...made, surfaces: [floor] }, { pushHeight }).groups[0]!;
      return told(pushes[0]!).pushes;
    };
    // From behind it tips over the front edge, and so on: the way along the push to the outline.
    const far = (u: readonly [number, number]) => {
      const at = (t: number) =>
        signedMargin(
          [reading.plumb![0] + t * u[0], reading.plumb![1] + t * u[1]],
          reading.support.polygon,
        );
      let [inside, outside] = [0, 1];
      while (outside - inside > 1e-9) {
        const middle = (inside + outside) / 2;
        if (at(middle) >= 0) inside = middle;
        else outside = middle;
      }
      return inside;
    };
    for (const { direction, force_N, ends } of pushed(1.2)) {
      expect(ends).toBe('tips');
      expect(force_N!).toBeCloseTo((weight * far(direction)) / 1.2, 3);
    }
    const [front] = pushed(1.2);
    expect(front!.from).toBe('front');
    expect(front!.direction[1]).toBeCloseTo(-1, 9);
    for (const { force_N, ends } of pushed(0.1, 0.2)) {
      expect(ends).toBe('slides');
      expect(force_N!).toBeCloseTo(0.2 * weight, 3);
    }
  });

  it('stands a shove as the job tells it: about 55 N from the front and 68 N from behind at 1.20 m (job.md D10, own model, 15 %)', () => {
    const guard = { table: 'deleva-female', stature: 1.66, mass: 60 } as const;
    const made = scene({ figures: [figure('guard', standing(guard), { body: guard })] });
    const { pushes } = study(made, { pushHeight: 1.2 }).groups[0]!;
    const force = (from: string) =>
      told(pushes[0]!).pushes.find((push) => push.from === from)!.force_N!;
    expect(Math.abs(force('front') - 55)).toBeLessThan(0.15 * 55);
    expect(Math.abs(force('behind') - 68)).toBeLessThan(0.15 * 68);
    expect(pushes[0]!.sentence).toMatch(
      /^Pushed at 1\.20 m, guard stands up to \d+ N from the front, \d+ N from behind, \d+ N from the left and \d+ N from the right\.$/,
    );
  });

  it('tips over the heels backwards and over the toes forwards, with the angle of its margin', () => {
    const made = scene({ figures: [figure('a', posed({ lean: -1 }))] });
    const reading = assess(made).groups[0]!;
    const tipping = told(first(made).tipping);
    expect(tipping.weakest.heading).toBe('backwards');
    expect(tipping.weakest.angle).toBeCloseTo(reading.margin!.tipAngle, 3);
    expect(tipping.over).toEqual(['a/soleL', 'a/soleR']);
    expect(tipping.sentence).toMatch(/, over both heels; \d+\.\d J would take it over\.$/);
    const ahead = told(first(scene({ figures: [figure('a', posed({ lean: 13 }))] })).tipping);
    expect(ahead.weakest.heading).toBe('forwards');
    expect(ahead.over).toEqual(['a/toesL', 'a/toesR']);
    expect(ahead.directions).toHaveLength(16);
  });

  it('says which contacts make which edge: the outline by its own points', () => {
    const group = first(scene({ figures: [figure('a', standing())] }));
    const edges = told(group.edges);
    const made = edges.edges[edges.nearest!]!;
    expect(made.made).toBe('outline');
    expect(made.contacts).toEqual(['a/soleL', 'a/soleR']);
    expect(group.edges.sentence).toBe('The nearest edge, backwards, is made by both heels.');
    for (const { contacts } of edges.edges) expect(contacts.length).toBeGreaterThan(0);
  });

  it('with hands on a table has edges made by friction or by the hands', () => {
    const table = box('table', [0, 0.4, 0.6], [1, 0.8, 0.6], { kind: 'table' });
    const made = scene({
      surfaces: [FLOOR, table],
      figures: [
        figure('a', posed({ trunk: 40, upperArm: { flexion: 85 }, hand: { flexion: -60 } }, MAN), {
          body: MAN,
          contacts: { palmL: 'planted', palmR: 'planted' },
        }),
      ],
    });
    const report = assess(made);
    expect(report.groups[0]!.support.basis).toBe('region');
    const group = first(made);
    const edges = told(group.edges);
    const ids = new Set(edges.edges.flatMap(({ contacts }) => contacts));
    expect(ids).toContain('a/palmL');
    expect(ids).toContain('a/soleR');
    expect(edges.nearest).not.toBeNull();
    // The tilt is the honest angle on a region, and the reading gives the same in its own direction.
    const tipping = told(group.tipping);
    const { margin } = report.groups[0]!;
    expect(margin!.tipAngle).toBeGreaterThan(tipping.weakest.angle - 1e-6);
  });
});

describe('a pair', () => {
  it('is told by its grips: no single edge to tip over, and pushes on either', () => {
    const group = first(MEETING);
    expect(told(group.tipping).energy_J).toBeNull();
    expect(group.pushes).toHaveLength(2);
    for (const { edges } of [told(group.edges)])
      for (const edge of edges) expect(edge.made).toBe('grips');
    const friction = told(group.friction);
    expect(friction.needed).toBeGreaterThan(0.1);
    expect(friction.needed).toBeLessThan(0.3);
    // job.md D2: 0.17 and 0.24 of friction at a pull of 127 N each.
    const slipping = { ...MEETING, surfaces: [{ ...FLOOR, friction: friction.needed * 0.98 }] };
    expect(assess(slipping).groups[0]!.verdict).toBe('falls');
    const gripping = { ...MEETING, surfaces: [{ ...FLOOR, friction: friction.needed * 1.05 }] };
    expect(assess(gripping).groups[0]!.verdict).not.toBe('falls');
  });
});
