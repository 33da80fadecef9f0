import { describe, expect, it } from 'vitest';
import { distance, toPlan, type Vec2, type Vec3 } from '../../../../core/geometry/index.ts';
import {
  type CentreLoad,
  type Pose,
  palmLocal,
  pointOn,
  poseFigure,
  restPose,
  solveReach,
} from '../../../../core/pose/index.ts';
import { random } from '../../../helpers/random.ts';
import { body, outOfRange, SOLES, torn } from './drags.ts';

const rest = restPose(body);
const plumbOf = (pose: Pose): Vec2 => toPlan(poseFigure(body, pose).centre);
const gap = (a: Vec2, b: Vec2): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
const palm = palmLocal(body, 'L');

describe('keep the plumb line', () => {
  it('a hand goes through its box and the centre stays within 5 mm (seed 51)', () => {
    const next = random(51);
    const target = plumbOf(rest);
    let reached = 0;
    for (let i = 0; i < 200; i++) {
      const hand: Vec3 = [next() * 0.7 - 0.05, 0.6 + next() * 1.1, next() * 0.7 - 0.1];
      const result = solveReach(body, rest, {
        goals: [{ segment: 'handL', point: palm, target: hand }],
        planted: SOLES,
        centre: { target, keep: true },
      });
      expect(gap(plumbOf(result.pose), target), `hand at ${hand}`).toBeLessThan(5e-3);
      expect(torn(rest, result.pose, SOLES).metres).toBeLessThan(1e-3);
      expect(outOfRange(result.pose, rest)).toBeLessThan(1e-9);
      if (result.reached) reached++;
    }
    expect(reached).toBeGreaterThan(150);
  });

  it('out of reach, the hand gives way and not the plumb line', () => {
    const target = plumbOf(rest);
    const goals = [{ segment: 'handL', point: palm, target: [0.3, 1.1, 2] as Vec3 }] as const;
    const free = solveReach(body, rest, { goals, planted: SOLES });
    const kept = solveReach(body, rest, { goals, planted: SOLES, centre: { target, keep: true } });
    expect(kept.reached).toBe(false);
    expect(gap(plumbOf(kept.pose), target)).toBeLessThan(5e-3);
    expect(gap(plumbOf(free.pose), target)).toBeGreaterThan(0.1);
    expect(free.residual_m).toBeLessThan(kept.residual_m);
  });

  // Common practice, no source: who touches the toes moves the hips back.
  it('hands to the toes: the hips go back without being told', () => {
    const feet = poseFigure(body, rest).segments;
    const down = (side: 'L' | 'R') => {
      const [x, , z] = feet[`toes${side}`].position;
      const target: Vec3 = [x, 0.1, z + 0.04];
      return { segment: `hand${side}`, point: palmLocal(body, side), target } as const;
    };
    const goals = [down('L'), down('R')];
    const centre = { target: plumbOf(rest), keep: true } as const;
    const { pose, reached } = solveReach(body, rest, { goals, planted: SOLES, centre });
    expect(reached).toBe(true);
    expect(pose.position[2]).toBeLessThan(rest.position[2] - 0.12);
    expect(gap(plumbOf(pose), plumbOf(rest))).toBeLessThan(5e-3);
    // Both sides alike: nothing in it is left or right.
    expect(Math.abs(pose.position[0])).toBeLessThan(0.01);
    // Without the plumb line kept, the centre goes out over the toes.
    const loose = solveReach(body, rest, { goals, planted: SOLES });
    expect(plumbOf(loose.pose)[1]).toBeGreaterThan(plumbOf(rest)[1] + 0.05);
  });

  it('loads count: a pack on the back is carried over the same point', () => {
    const loads: CentreLoad[] = [{ segment: 'chest', offset: [0, 0.1, -0.25], mass: 20 }];
    const total = (pose: Pose): Vec2 => {
      const posed = poseFigure(body, pose);
      const pack = pointOn(posed, 'chest', [0, 0.1, -0.25]);
      const mass = body.spec.mass;
      return [
        (posed.centre[0] * mass + pack[0] * 20) / (mass + 20),
        (posed.centre[2] * mass + pack[2] * 20) / (mass + 20),
      ];
    };
    const target = plumbOf(rest);
    const { pose, reached, centre_m } = solveReach(body, rest, {
      goals: [],
      planted: SOLES,
      centre: { target, loads, keep: true },
    });
    expect(reached).toBe(true);
    expect(centre_m).toBeLessThan(1e-3);
    expect(gap(total(pose), target)).toBeLessThan(1e-3);
    expect(poseFigure(body, pose).segments.head.position[2]).toBeGreaterThan(
      poseFigure(body, rest).segments.head.position[2] + 0.03,
    );
  });
});

describe('pull the centre', () => {
  it('hips and trunk shift with the feet planted, to where it is pulled (seed 52)', () => {
    const next = random(52);
    const from = plumbOf(rest);
    for (let i = 0; i < 60; i++) {
      const target: Vec2 = [from[0] + (next() - 0.5) * 0.14, from[1] + (next() - 0.6) * 0.12];
      const { pose, reached } = solveReach(body, rest, {
        goals: [],
        planted: SOLES,
        centre: { target, keep: false },
      });
      expect(reached, `to ${target}`).toBe(true);
      expect(gap(plumbOf(pose), target)).toBeLessThan(1e-3);
      expect(torn(rest, pose, SOLES).metres).toBeLessThan(1e-3);
      const hips = poseFigure(body, pose).segments.pelvis.position;
      const moved = distance(hips, rest.position);
      // Hips carry most of it: they move by more than half the centre's way.
      expect(moved).toBeGreaterThan(0.5 * gap(target, from));
    }
  });

  it('too far: as far as the feet allow, with reached false', () => {
    const result = solveReach(body, rest, {
      goals: [],
      planted: SOLES,
      centre: { target: [0, 1.5], keep: false },
    });
    expect(result.reached).toBe(false);
    expect(plumbOf(result.pose)[1]).toBeGreaterThan(0.2);
    expect(torn(rest, result.pose, SOLES).metres).toBeLessThan(1e-3);
  });
});
