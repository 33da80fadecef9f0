import { levenbergMarquardt } from 'ml-levenberg-marquardt';
import { describe, expect, it } from 'vitest';
import { SEGMENTS, type SegmentName } from '../../../../core/body/index.ts';
import {
  conjugate,
  fromAxisAngle,
  multiply,
  type Quat,
  type Vec3,
} from '../../../../core/geometry/index.ts';
import {
  fromSwingTwist,
  type Pose,
  pointOn,
  poseFigure,
  solveReach,
  swingTwist,
} from '../../../../core/pose/index.ts';
import { random } from '../../../helpers/random.ts';
import { body, ellipse, HANDLES, movedBy, SOLES, STARTS, torn } from './drags.ts';

const AXES = ['x', 'y', 'z'] as const;
const TURNED = SEGMENTS.filter((name) => name !== 'pelvis' && !name.startsWith('toes'));

/** The joints that a pose is made of, as plain numbers with bounds; then the hips' move and turn. */
const numbers = TURNED.flatMap((segment) =>
  AXES.filter(
    (axis) => body.segments[segment].limits[axis][1] > body.segments[segment].limits[axis][0],
  ).map((axis) => ({ segment, axis, range: body.segments[segment].limits[axis] })),
);

function poseOf(start: Pose, values: ArrayLike<number>): Pose {
  const parts = new Map<SegmentName, { x: number; y: number; z: number }>();
  numbers.forEach(({ segment, axis }, i) => {
    const own = parts.get(segment) ?? { x: 0, y: 0, z: 0 };
    own[axis] = values[i]!;
    parts.set(segment, own);
  });
  const n = numbers.length;
  const v: Vec3 = [values[n + 3]!, values[n + 4]!, values[n + 5]!];
  const size = Math.hypot(...v);
  const turn: Quat = size < 1e-12 ? [0, 0, 0, 1] : fromAxisAngle(v, size);
  const [x, y, z] = start.position;
  return {
    position: [x + values[n]!, y + values[n + 1]!, z + values[n + 2]!],
    rotation: multiply(turn, start.rotation),
    joints: {
      ...start.joints,
      ...Object.fromEntries(
        [...parts].map(([name, own]) => [name, fromSwingTwist(inEllipse(name, own))]),
      ),
    },
  };
}

/** The peer knows intervals only: what it puts outside a swing's ellipse is drawn back to it. */
function inEllipse(name: SegmentName, own: { x: number; y: number; z: number }) {
  const out = Math.max(1, ellipse(own, body.segments[name].limits));
  return { x: own.x / out, y: own.y, z: own.z / out };
}

/** What the optimiser makes small: soles' places and turns (heavily), and the goal. */
function errors(start: Pose, pose: Pose, handle: (typeof HANDLES)[number], target: Vec3): number[] {
  const a = poseFigure(body, start);
  const b = poseFigure(body, pose);
  const soles = (['footL', 'footR'] as const).flatMap((foot) => {
    const [p, q] = [a.segments[foot], b.segments[foot]];
    const [x, y, z, w] = multiply(q.rotation, conjugate(p.rotation));
    const way = w < 0 ? -2 : 2;
    const place = p.position.map((v, k) => 100 * (q.position[k]! - v));
    return [...place, 30 * way * x, 30 * way * y, 30 * way * z];
  });
  const at = pointOn(b, handle.segment, handle.point);
  return [...soles, ...at.map((v, k) => 5 * (v - target[k]!))];
}

/** Levenberg-Marquardt of the registry (ml-levenberg-marquardt, MIT), from the start of the drag. */
function peer(start: Pose, handle: (typeof HANDLES)[number], target: Vec3): Pose {
  const initial = [
    ...numbers.map(
      ({ segment, axis }) => swingTwist(start.joints[segment as 'head'] ?? [0, 0, 0, 1])[axis],
    ),
    ...[0, 0, 0, 0, 0, 0],
  ];
  const free = [1, 1, 1, 3, 3, 3];
  const count = errors(start, start, handle, target).length;
  const result = levenbergMarquardt(
    { x: Array.from({ length: count }, (_, i) => i), y: new Array(count).fill(0) },
    (values) => {
      const all = errors(start, poseOf(start, values), handle, target);
      return (i) => all[i]!;
    },
    {
      initialValues: initial,
      minValues: [...numbers.map(({ range }) => range[0]), ...free.map((v) => -v)],
      maxValues: [...numbers.map(({ range }) => range[1]), ...free],
      gradientDifference: 1e-6,
      damping: 1e-2,
      maxIterations: 90,
      errorTolerance: 1e-8,
    },
  );
  return poseOf(start, result.parameterValues);
}

describe('against a general optimiser', () => {
  // Source: ml-levenberg-marquardt 5.1.0 from the npm registry, numeric derivatives, bounds by clamping;
  // it shares the kinematics and the ranges with the solver, nothing else.
  it('50 random goals: the solver comes as near, within 1 mm, or nearer (seed 61)', {
    timeout: 120_000,
  }, () => {
    const next = random(61);
    let both = 0;
    let beyond = 0;
    for (let i = 0; i < 50; i++) {
      const start = STARTS[i % STARTS.length]!;
      const handle = HANDLES[Math.floor(next() * HANDLES.length)]!;
      const size = i % 5 === 0 ? 1.2 : 0.3;
      const move = [0, 1, 2].map(() => (next() - 0.5) * 2 * size) as unknown as Vec3;
      const target = movedBy(start, handle, move);
      const ours = solveReach(body, start, {
        goals: [{ ...handle, target }],
        planted: SOLES,
        utmost: true,
      });
      const theirs = peer(start, handle, target);
      const at = pointOn(poseFigure(body, theirs), handle.segment, handle.point);
      const { metres, radians } = torn(start, theirs, SOLES);
      // What it gains by tearing soles off is taken back: their move, and their turn at the length of a leg.
      const off =
        Math.hypot(at[0] - target[0], at[1] - target[1], at[2] - target[2]) +
        metres +
        radians * body.hipHeight;
      expect(ours.residual_m, `goal ${i}: ${handle.segment} to ${target}`).toBeLessThan(off + 1e-3);
      if (ours.residual_m < 1e-3 && off < 2e-3) both++;
      if (ours.residual_m > 0.01 && off < ours.residual_m + 0.02) beyond++;
    }
    // The comparison means something: many goals that both meet, some that neither can.
    expect(both).toBeGreaterThan(15);
    expect(beyond).toBeGreaterThan(4);
  });
});
