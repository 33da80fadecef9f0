import { describe, expect, it } from 'vitest';
import {
  type BodySpec,
  buildBody,
  freshExtra,
  turnBy,
  turnToHold,
} from '../../../core/body/index.ts';
import { applyTransform, distance, type Vec3 } from '../../../core/geometry/index.ts';

const UP: Vec3 = [0, 1, 0];

const creature = (curl: number): BodySpec => ({
  ...{ table: 'deleva-female', stature: 1.2, mass: 30 },
  extras: {
    tail: {
      ...freshExtra('tail'),
      length: 0.62,
      curl,
      turn: turnBy('tail', { swing: 0, lift: -0.35 }),
    },
  },
});

const tailOf = (spec: BodySpec) => buildBody(spec).extras.find(({ id }) => id === 'tail')!;
const tipOf = (spec: BodySpec): Vec3 => {
  const last = tailOf(spec).links.at(-1)!;
  return applyTransform(last.at, [0, last.length, 0]);
};

/** The tail held at a place, built anew with it. */
function held(spec: BodySpec, target: Vec3) {
  const turned = turnToHold(buildBody(spec), 'tail', target, UP);
  const after = { ...spec, extras: { tail: { ...spec.extras!.tail!, ...turned } } };
  return { ...turned, after, off: distance(tipOf(after), target) };
}

describe('a tail whose tip keeps its place', () => {
  it.each([0, 0.6, -0.6])('finds it wherever it reaches, curled by %d before', (curl) => {
    const spec = creature(curl);
    const tip = tipOf(spec);
    const root = tailOf(spec).links[0]!.at.position;
    for (const x of [-0.08, 0, 0.08])
      for (const y of [-0.06, 0, 0.06])
        for (const z of [0, 0.05, 0.1]) {
          const target: Vec3 = [tip[0] + x, tip[1] + y, tip[2] + z];
          if (distance(target, root) > 0.61 * 1.2) continue;
          const { off, curl: after } = held(spec, target);
          expect(off, `${target}`).toBeLessThan(1e-3);
          if (curl !== 0) expect(Math.sign(after) * Math.sign(curl)).toBeGreaterThanOrEqual(0);
        }
  });

  it('is stretched towards what is too far, and stays finite at its root', () => {
    const spec = creature(0.3);
    const root = tailOf(spec).links[0]!.at.position;
    const tip = tipOf(spec);
    const far: Vec3 = [0, root[1] + (tip[1] - root[1]) * 3, root[2] + (tip[2] - root[2]) * 3];
    const stretched = held(spec, far);
    expect(stretched.curl).toBe(0);
    expect(distance(tipOf(stretched.after), root)).toBeCloseTo(0.62 * 1.2, 6);
    const { turn, curl } = held(spec, root);
    expect([...turn, curl].every(Number.isFinite)).toBe(true);
  });

  it('arches up where it was straight', () => {
    const spec = creature(0);
    const tip = tipOf(spec);
    const { after } = held(spec, [tip[0], tip[1], tip[2] + 0.1]);
    const { links } = tailOf(after);
    const [root, end] = [links[0]!.at.position, tipOf(after)];
    const middle = links[Math.floor(links.length / 2)]!.at.position;
    const share = (middle[2] - root[2]) / (end[2] - root[2]);
    expect(middle[1]).toBeGreaterThan(root[1] + (end[1] - root[1]) * share);
  });
});
