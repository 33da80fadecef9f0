import { describe, expect, it } from 'vitest';
import { SEGMENTS } from '../../../../core/body/index.ts';
import { distance, type Vec3 } from '../../../../core/geometry/index.ts';
import {
  degreesOf,
  type Pose,
  palmLocal,
  pointOn,
  poseFigure,
  poseFromAngles,
  restPose,
  solveReach,
} from '../../../../core/pose/index.ts';
import { random } from '../../../helpers/random.ts';
import {
  away,
  body,
  HANDLES,
  movedBy,
  outOfRange,
  randomTurn,
  SOLES,
  STARTS,
  torn,
} from './drags.ts';

const DEGREE = Math.PI / 180;
const rest = restPose(body);

interface Drag {
  readonly start: Pose;
  readonly handle: (typeof HANDLES)[number];
  readonly target: Vec3;
}

/** Drags of up to `size` metres along each axis. */
function drags(seed: number, count: number, size: number): Drag[] {
  const next = random(seed);
  return Array.from({ length: count }, (_, i) => {
    const start = STARTS[i % STARTS.length]!;
    const handle = HANDLES[Math.floor(next() * HANDLES.length)]!;
    const move = [0, 1, 2].map(() => (next() - 0.5) * 2 * size) as unknown as Vec3;
    const target = movedBy(start, handle, move);
    return { start, handle, target };
  });
}

const solve = ({ start, handle, target }: Drag) =>
  solveReach(body, start, { goals: [{ ...handle, target }], planted: SOLES });

describe('drags with both soles planted', () => {
  it('500 of them: no sole moves by 1 mm or turns by 0.5 degrees, no joint leaves its range (seed 41)', () => {
    let reached = 0;
    for (const drag of drags(41, 500, 0.15)) {
      const { pose, ...result } = solve(drag);
      const { metres, radians } = torn(drag.start, pose, SOLES);
      const told = `${drag.handle.segment} to ${drag.target}`;
      expect(metres, told).toBeLessThan(1e-3);
      expect(radians, told).toBeLessThan(0.5 * DEGREE);
      expect(outOfRange(pose, drag.start), told).toBeLessThan(1e-9);
      const at = pointOn(poseFigure(body, pose), drag.handle.segment, drag.handle.point);
      expect(distance(at, drag.target)).toBeCloseTo(result.residual_m, 9);
      expect(result.reached).toBe(result.residual_m <= 1e-4);
      if (result.reached) reached++;
    }
    // Hips above straight legs and a straight back cannot rise; most of the rest is inside reach.
    expect(reached).toBeGreaterThan(350);
  });

  it('far drags stretch to the limit, say so, and tear nothing off (seed 42)', () => {
    for (const drag of drags(42, 100, 2)) {
      const { pose, reached, residual_m } = solve(drag);
      const before = pointOn(poseFigure(body, drag.start), drag.handle.segment, drag.handle.point);
      const { metres, radians } = torn(drag.start, pose, SOLES);
      const told = `${drag.handle.segment} to ${drag.target}`;
      expect(metres, told).toBeLessThan(1e-3);
      expect(radians, told).toBeLessThan(0.5 * DEGREE);
      expect(outOfRange(pose, drag.start), told).toBeLessThan(1e-9);
      expect(residual_m, told).toBeLessThan(distance(before, drag.target) + 1e-9);
      expect(reached, told).toBe(residual_m <= 1e-4);
    }
  });

  it('the same drag gives the same pose to the last digit, whatever was solved between (seed 43)', () => {
    const list = drags(43, 30, 0.3);
    const first = list.map((drag) => JSON.stringify(solve(drag).pose));
    const again = [...list].reverse().map((drag) => JSON.stringify(solve(drag).pose));
    expect(again.reverse()).toEqual(first);
  });

  it.each(HANDLES)(
    '$segment: taken hold of and not moved, the pose is the same object',
    (handle) => {
      for (const start of STARTS) {
        const target = pointOn(poseFigure(body, start), handle.segment, handle.point);
        const result = solveReach(body, start, { goals: [{ ...handle, target }], planted: SOLES });
        expect(result.pose).toBe(start);
        expect(result.reached).toBe(true);
      }
    },
  );

  it.each(HANDLES)(
    '$segment: does not jump at the grab: a millimetre turns no joint by 3 degrees',
    (handle) => {
      // The second start has bent knees: from straight ones the first millimetre down is a bend of 3.4
      // degrees by geometry (2 · acos(1 - 0.001 / 0.8) / 2).
      const start = STARTS[1]!;
      const target = movedBy(start, handle, [6e-4, -6e-4, 6e-4]);
      const { pose, reached } = solveReach(body, start, {
        goals: [{ ...handle, target }],
        planted: SOLES,
      });
      expect(reached).toBe(true);
      const [a, b] = [poseFigure(body, start), poseFigure(body, pose)];
      for (const name of SEGMENTS)
        expect(away(a.segments[name].rotation, b.segments[name].rotation)).toBeLessThan(3 * DEGREE);
    },
  );

  it('a slow circle of the hand moves elbow and knees in small steps only, and ends where it began', () => {
    let before = poseFigure(body, rest);
    let pose = rest;
    const palm = palmLocal(body, 'L');
    const at = (degrees: number): Vec3 => [
      0.3 + 0.2 * Math.cos(degrees * DEGREE),
      1.15 + 0.25 * Math.sin(degrees * DEGREE),
      0.35,
    ];
    const ends: Pose[] = [];
    for (let i = 0; i <= 180; i++) {
      const goal = { segment: 'handL', point: palm, target: at(i * 2) } as const;
      pose = solveReach(body, rest, { goals: [goal], planted: SOLES, from: pose }).pose;
      const now = poseFigure(body, pose);
      if (i > 0) {
        for (const name of ['forearmL', 'shankL', 'shankR', 'head'] as const)
          expect(
            distance(now.segments[name].position, before.segments[name].position),
          ).toBeLessThan(0.03);
      }
      if (i === 0 || i === 180) ends.push(pose);
      before = now;
    }
    const [a, b] = ends.map((end) => poseFigure(body, end));
    // Drag and back: no drift (the solver stays near to where the drag began, not to its last frame).
    for (const name of SEGMENTS)
      expect(distance(a!.segments[name].position, b!.segments[name].position)).toBeLessThan(0.01);
  });

  it('arms come first: a hand in front is met by the arm mostly, further out trunk and hips help', () => {
    const start = STARTS[1]!;
    const posed = poseFigure(body, start);
    const palm = palmLocal(body, 'L');
    const at = pointOn(posed, 'handL', palm);
    const share = (far: number): { arm: number; trunk: number; hips: number } => {
      const target: Vec3 = [at[0], at[1] + 0.05, at[2] + far];
      const { pose, reached } = solveReach(body, start, {
        goals: [{ segment: 'handL', point: palm, target }],
        planted: SOLES,
      });
      expect(reached).toBe(true);
      const after = poseFigure(body, pose).segments;
      const shoulder = distance(after.upperArmL.position, posed.segments.upperArmL.position);
      return {
        arm: shoulder / far,
        trunk: degreesOf(pose, 'abdomen').flexion,
        hips: distance(after.pelvis.position, posed.segments.pelvis.position),
      };
    };
    const near = share(0.12);
    const far = share(0.4);
    expect(near.arm).toBeLessThan(0.5);
    expect(far.arm).toBeGreaterThan(near.arm);
    expect(far.hips).toBeGreaterThan(near.hips);
  });
});

describe('limits', () => {
  it('hold from any pose inside them, with any points planted and any goals (seed 44)', () => {
    const next = random(44);
    for (let i = 0; i < 200; i++) {
      const joints = Object.fromEntries(
        SEGMENTS.slice(1).map((name) => [name, randomTurn(name, next, 0.7)]),
      );
      const start: Pose = { position: [0, 1, 0], rotation: [0, 0, 0, 1], joints };
      const posed = poseFigure(body, start);
      const goals = Array.from({ length: 1 + Math.floor(next() * 3) }, () => {
        const handle = HANDLES[Math.floor(next() * HANDLES.length)]!;
        const at = pointOn(posed, handle.segment, handle.point);
        const target = at.map((v) => v + (next() - 0.5) * 0.8) as unknown as Vec3;
        return {
          ...handle,
          target,
          ...(next() < 0.2 ? { rotation: randomTurn('thighL', next) } : {}),
        };
      });
      const planted = SOLES.filter(() => next() < 0.6);
      const { pose } = solveReach(body, start, { goals, planted });
      expect(outOfRange(pose, start), `case ${i}`).toBeLessThan(1e-9);
      const { metres, radians } = torn(start, pose, planted);
      expect(metres, `case ${i}`).toBeLessThan(1e-3);
      expect(radians, `case ${i}`).toBeLessThan(0.5 * DEGREE);
    }
  });

  it('a joint that begins out of its range is not pulled in, nor let further out', () => {
    const bent: Pose = {
      ...rest,
      joints: { ...rest.joints, head: [Math.sin(0.5), 0, 0, Math.cos(0.5)] },
    };
    const at = pointOn(poseFigure(body, bent), 'head', [0, 0.1, 0]);
    const target: Vec3 = [at[0], at[1] - 0.2, at[2] + 0.2];
    const goal = { segment: 'head', point: [0, 0.1, 0], target } as const;
    const { pose } = solveReach(body, bent, { goals: [goal], planted: SOLES });
    expect(degreesOf(pose, 'head').flexion).toBeLessThan(1 / DEGREE + 1e-6);
    const still = solveReach(body, bent, {
      goals: [{ segment: 'handR', point: palmLocal(body, 'R'), target: [-0.4, 1, 0.3] }],
      planted: SOLES,
    });
    expect(degreesOf(still.pose, 'head').flexion).toBeGreaterThan(50);
  });
});

describe('an arm that begins past straight up', () => {
  // Out of its range by 10 degrees; its swing is more than half a turn.
  const past = poseFromAngles({ upperArmL: { flexion: 190 } }, body);

  it('locked, it keeps its turn to the last digit while the other hand is dragged', () => {
    const { pose, reached } = solveReach(body, past, {
      goals: [{ segment: 'handR', point: palmLocal(body, 'R'), target: [-0.3, 1, 0.3] }],
      planted: SOLES,
      locks: ['upperArmL'],
    });
    expect(reached).toBe(true);
    expect(pose.joints.upperArmL).toEqual(past.joints.upperArmL);
  });

  it('free, it is not drawn in by a drag that has nothing to do with it', () => {
    const { pose } = solveReach(body, past, {
      goals: [{ segment: 'handR', point: palmLocal(body, 'R'), target: [-0.3, 1, 0.3] }],
      planted: SOLES,
    });
    expect(away(pose.joints.upperArmL!, past.joints.upperArmL!)).toBeLessThan(1 * DEGREE);
  });
});

describe('what else can be asked', () => {
  it('locks: a locked joint keeps its turn, locked hips stay', () => {
    const goal = {
      segment: 'handL',
      point: palmLocal(body, 'L'),
      target: [0.3, 1.2, 0.6],
    } as const;
    const locks = ['abdomen', 'chest', 'pelvis', 'handL'] as const;
    const { pose } = solveReach(body, rest, { goals: [goal], planted: SOLES, locks });
    for (const name of ['abdomen', 'chest', 'handL'] as const)
      expect(pose.joints[name]).toEqual(rest.joints[name]);
    expect(pose.position).toEqual(rest.position);
    expect(pose.rotation).toEqual(rest.rotation);
    expect(pose.joints.upperArmL).not.toEqual(rest.joints.upperArmL);
  });

  it('a load in two hands: both palms go to their places, with the wrists turned as wanted', () => {
    const rotation = poseFigure(body, STARTS[1]!).segments.handL.rotation;
    const { pose, reached } = solveReach(body, rest, {
      goals: [
        { segment: 'handL', point: palmLocal(body, 'L'), target: [0.15, 1.0, 0.35], rotation },
        { segment: 'handR', point: palmLocal(body, 'R'), target: [-0.15, 1.0, 0.35] },
      ],
      planted: SOLES,
    });
    expect(reached).toBe(true);
    expect(away(poseFigure(body, pose).segments.handL.rotation, rotation)).toBeLessThan(0.002);
  });

  it('a planted point without its turn: a hand on a rail stays while the hips move', () => {
    const planted = [
      ...SOLES,
      { segment: 'handR', point: palmLocal(body, 'R'), turn: false },
    ] as const;
    const start = STARTS[1]!;
    const [x, y, z] = start.position;
    const { pose, reached } = solveReach(body, start, {
      goals: [{ segment: 'pelvis', target: [x + 0.05, y - 0.03, z - 0.05] }],
      planted,
    });
    expect(reached).toBe(true);
    expect(torn(start, pose, planted).metres).toBeLessThan(1e-6);
  });

  it('weights: of two goals that cannot both be met, the heavier one is met better', () => {
    const two = (weight: number) =>
      solveReach(body, rest, {
        goals: [
          { segment: 'handL', point: palmLocal(body, 'L'), target: [1.2, 1.2, 0.2], weight },
          { segment: 'handR', point: palmLocal(body, 'R'), target: [-1.2, 1.2, 0.2] },
        ],
        planted: SOLES,
      }).pose;
    const left = (pose: Pose): number =>
      pointOn(poseFigure(body, pose), 'handL', palmLocal(body, 'L'))[0];
    expect(left(two(5))).toBeGreaterThan(left(two(1)) + 0.05);
    expect(() => two(0)).toThrow(RangeError);
  });

  it('nothing planted: the figure may be moved as a whole, and what is not asked keeps its joints', () => {
    const { pose, reached } = solveReach(body, rest, {
      goals: [{ segment: 'pelvis', target: [1, 2, 3] }],
      planted: [],
    });
    expect(reached).toBe(true);
    expect(pose.joints).toEqual(rest.joints);
    expect(distance(pose.position, [1, 2, 3])).toBeLessThan(1e-6);
  });
});
