import { describe, expect, it } from 'vitest';
import { assess, type ContactLoads, study, type Told } from '../../../../core/balance/index.ts';
import {
  fromAxisAngle,
  IDENTITY,
  multiply,
  rotate,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import type { Load, Scene } from '../../../../core/scene/index.ts';
import { stuckGate } from '../../../../demo-data/shots/wal-0015.ts';
import { MEETING } from '../pairs.ts';
import { box, FLOOR, figure, MAN, moved, posed, scene, standing, turned } from '../scenes.ts';

const loadsOf = (made: Scene, index = 0): Extract<Told<ContactLoads>, { kind: 'told' }> => {
  const { loads } = study(made).groups[index]!;
  if (loads.kind !== 'told') throw new Error(loads.sentence);
  return loads;
};

const plank = (at: Vec3, size: Vec3, mass: number): Load => ({
  id: 'plank',
  name: 'Plank',
  shape: { kind: 'box', size },
  mass,
  place: { kind: 'standing', position: at, rotation: IDENTITY },
});

/** A post so thin that it is all but a point. */
const post = (id: string, x: number, z: number) => box(id, [x, 0.25, z], [1e-4, 0.5, 1e-4]);

describe('shares', () => {
  it('follow the lever rule: v1 = W d2 / L (any mechanics textbook)', () => {
    // A board of 2 m and 30 kg with its middle at 0, on edges across it at -0.6 and 0.9.
    const edges = [-0.6, 0.9].map((x, i) => box(`edge${i}`, [x, 0.25, 0], [1e-4, 0.5, 0.4]));
    const loads = loadsOf(
      scene({ surfaces: edges, loads: [plank([0, 0.52, 0], [2, 0.04, 0.3], 30)] }),
    );
    expect(loads.weight_N).toBeCloseTo(30 * 9.81, 9);
    const [first, second] = loads.contacts;
    expect(first!.unique).toBe(true);
    expect(first!.likelyShare).toBeCloseTo(0.9 / 1.5, 3);
    expect(second!.likelyShare).toBeCloseTo(0.6 / 1.5, 3);
    expect(first!.vertical_N.least!).toBeCloseTo(0.6 * 30 * 9.81, 1);
  });

  it('of a three-legged table are those of the triangle: unique, barycentric (mechanics.md 1.7)', () => {
    const [a, b, c] = [
      [-0.4, -0.3],
      [0.5, -0.2],
      [0, 0.45],
    ] as const;
    const centre = [0.05, 0.02] as const;
    const posts = [a, b, c].map(([x, z], i) => post(`p${i}`, x, z));
    const loads = loadsOf(
      scene({
        surfaces: posts,
        loads: [plank([centre[0], 0.52, centre[1]], [1.4, 0.04, 1.4], 20)],
      }),
    );
    const area = (p: readonly number[], q: readonly number[], r: readonly number[]) =>
      ((q[0]! - p[0]!) * (r[1]! - p[1]!) - (r[0]! - p[0]!) * (q[1]! - p[1]!)) / 2;
    const whole = area(a, b, c);
    const expected = [area(centre, b, c), area(a, centre, c), area(a, b, centre)].map(
      (part) => part / whole,
    );
    expect(loads.contacts).toHaveLength(3);
    loads.contacts.forEach((contact, i) => {
      expect(contact.unique).toBe(true);
      expect(contact.likelyShare).toBeCloseTo(expected[i]!, 3);
    });
    expect(loads.sentence).not.toMatch(/Likely/);
  });

  it('of a four-legged table are a range, and likely alike (mechanics.md 1.7)', () => {
    const posts = [-0.5, 0.5].flatMap((x) =>
      [-0.5, 0.5].map((z) => post(`p${x > 0 ? 1 : 0}${z > 0 ? 1 : 0}`, x, z)),
    );
    const loads = loadsOf(
      scene({ surfaces: posts, loads: [plank([0, 0.52, 0], [1.4, 0.04, 1.4], 20)] }),
    );
    for (const contact of loads.contacts) {
      // v = W/4 + t (1, -1, 1, -1): each from nothing to half.
      expect(contact.unique).toBe(false);
      expect(contact.share.least!).toBeCloseTo(0, 3);
      expect(contact.share.most!).toBeCloseTo(0.5, 3);
      expect(contact.likelyShare).toBeCloseTo(0.25, 3);
    }
  });

  it('find a person lying on a board over two scales: x = (R2 - R1) L / W (checks.md 2c, a practical)', () => {
    // The board weighs nothing to speak of; the person stiff on it as a box whose centre is asked for.
    const L = 1.8;
    const x = 0.7096;
    const scales = [0, L].map((at, i) => box(`scale${i}`, [at, 0.25, 0], [1e-4, 0.5, 0.6]));
    const board: Load = { ...plank([L / 2, 0.51, 0], [L + 0.2, 0.02, 0.5], 0), id: 'board' };
    const person = plank([x, 0.67, 0], [0.4, 0.3, 0.4], 52);
    const loads = loadsOf(scene({ surfaces: scales, loads: [board, person] }));
    const [r1, r2] = loads.contacts.map(({ likely_N }) => likely_N / 9.81);
    expect(r2! * (L / 52)).toBeCloseTo(x, 3);
    expect(r1! + r2!).toBeCloseTo(52, 2);
    // Source's readings: 31.2 - 10.7 = 20.5 of 52 on the far scale, above the board's own.
    expect(r2!).toBeCloseTo(31.2 - 10.7, 2);
  });
});

describe('feet', () => {
  it('carry half each in quiet standing, between heel and ball', () => {
    const loads = loadsOf(scene({ figures: [figure('a', standing())] }));
    expect(loads.feet.map(({ side }) => side)).toEqual(['L', 'R']);
    for (const foot of loads.feet) {
      expect(foot.likelyShare).toBeCloseTo(0.5, 6);
      expect(foot.heelShare + foot.ballShare).toBeCloseTo(foot.likelyShare, 12);
      expect(foot.heelShare).toBeGreaterThan(0.1);
      expect(foot.ballShare).toBeGreaterThan(0.1);
    }
    const sum = loads.contacts.reduce((total, { likely_N }) => total + likely_N, 0);
    expect(sum).toBeCloseTo(loads.weight_N, 6);
  });

  it('shift to the ball when leaning forward, to the heel when leaning back', () => {
    const ball = (lean: number) => {
      const { feet } = loadsOf(scene({ figures: [figure('a', posed({ lean }))] }));
      return feet.reduce((sum, { ballShare }) => sum + ballShare, 0);
    };
    expect(ball(12)).toBeGreaterThan(0.8);
    expect(ball(0)).toBeLessThan(0.3);
  });

  it('rub with sole and toes together what the back pushes with (horizontal forces sum to zero)', () => {
    // Toes that hardly press can be at their limit while the foot is far from its own.
    const loads = loadsOf(stuckGate.drafts.at(-1)!.scene);
    const back = loads.contacts.find(({ patch }) => patch === 'back')!;
    expect(loads.feet).toHaveLength(2);
    const rubbed = loads.feet.reduce((sum, f) => sum + f.frictionUsed! * 0.7 * f.likely_N, 0);
    expect(rubbed).toBeCloseTo(-back.arrow!.force_N[2], 6);
    expect(loads.feet[0]!.frictionUsed).toBeLessThan(0.2);
  });

  it('carry everything where one stands alone, and nothing is told of a fall', () => {
    const onRight = (roll: number) => {
      const pose = standing();
      const turn = fromAxisAngle([0, 0, 1], -roll);
      return scene({
        figures: [
          figure(
            'a',
            {
              ...pose,
              position: rotate(turn, pose.position),
              rotation: multiply(turn, pose.rotation),
            },
            { contacts: { soleL: 'lifted', toesL: 'lifted', soleR: 'planted', toesR: 'planted' } },
          ),
        ],
      });
    };
    // Its left is +x, so it leans over to its right, -x.
    expect(loadsOf(onRight(-0.09)).sentence).toBe('The right foot carries all of the weight.');
    expect(study(onRight(0)).groups[0]!.loads).toEqual({
      kind: 'cannot tell',
      sentence: 'Cannot tell what each contact carries: it falls, so nothing here is at rest.',
    });
  });

  it('of two figures of equal mass carry half each (common practice, no source)', () => {
    const a = figure('a', moved(standing(), [0, 0, -0.3]));
    const b = figure('b', moved(turned(standing(), Math.PI), [0, 0, 0.3]));
    const loads = loadsOf(
      scene({
        figures: [a, b],
        grips: [
          {
            id: 'g',
            a: { kind: 'figure', figure: 'a', segment: 'handL' },
            b: { kind: 'figure', figure: 'b', segment: 'handR' },
            open: false,
          },
        ],
      }),
    );
    const of = (id: string) =>
      loads.feet.filter(({ figure: f }) => f === id).reduce((s, f) => s + f.likelyShare, 0);
    expect(of('a')).toBeCloseTo(0.5, 3);
    expect(of('b')).toBeCloseTo(0.5, 3);
    expect(study(scene({ figures: [a, b] })).groups).toHaveLength(2);
  });
});

describe('likely forces', () => {
  it.each([
    ['standing', scene({ figures: [figure('a', standing())] })],
    ['hand in hand', MEETING],
    [
      'sitting, feet on the floor',
      scene({
        surfaces: [FLOOR, box('chair', [0, 0.21, -0.05], [0.6, 0.42, 0.5], { kind: 'seat' })],
        figures: [
          figure('a', posed({ thigh: { flexion: 88 }, shank: { flexion: 88 } }, MAN), {
            body: MAN,
            contacts: { seat: 'planted' },
          }),
        ],
      }),
    ],
  ])('balance weight and moments as arrows: %s', (_, made) => {
    const report = assess(made);
    const loads = loadsOf(made);
    const { centre } = report.groups[0]!;
    const sum: [number, number, number] = [0, 0, 0];
    let momentX = 0;
    let momentZ = 0;
    for (const { arrow } of loads.contacts) {
      if (arrow === null) continue;
      const [fx, fy, fz] = arrow.force_N;
      const [x, y, z] = arrow.at.map((value, k) => value - centre![k]!) as [number, number, number];
      sum[0] += fx;
      sum[1] += fy;
      sum[2] += fz;
      momentX += y * fz - z * fy;
      momentZ += x * fy - y * fx;
    }
    expect(sum[0]).toBeCloseTo(0, 4);
    expect(sum[1]).toBeCloseTo(loads.weight_N, 4);
    expect(sum[2]).toBeCloseTo(0, 4);
    // A patch's forces lean differently over its points, so one arrow keeps moments only nearly.
    expect(Math.abs(momentX)).toBeLessThan(2);
    expect(Math.abs(momentZ)).toBeLessThan(2);
    for (const { vertical_N, likely_N } of loads.contacts) {
      expect(likely_N).toBeGreaterThan((vertical_N.least ?? -1e9) - 0.1);
      expect(likely_N).toBeLessThan((vertical_N.most ?? 1e9) + 0.1);
    }
  });
});
