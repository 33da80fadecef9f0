import { describe, expect, it } from 'vitest';
import type { Reading, Verdict } from '../../../core/balance/index.ts';
import type { Vec2, Vec3 } from '../../../core/geometry/index.ts';
import { containsPoint } from '../../../core/geometry/index.ts';
import {
  type AheadSupport,
  type MotionState,
  motionVerdict,
  pendulumRate,
} from '../../../core/motion/index.ts';
import { readCase } from './cases.ts';

/** Two feet side by side, heels at z = 0. */
const FEET: readonly Vec2[] = [
  [-0.15, 0],
  [0.15, 0],
  [0.15, 0.26],
  [-0.15, 0.26],
];
const FUNCTIONAL: readonly Vec2[] = FEET.map(([x, z]): Vec2 => [x * 0.9, z < 0.1 ? 0.03 : 0.21]);

interface Given {
  readonly centre: Vec3;
  readonly velocity: Vec3;
  readonly next?: readonly AheadSupport[];
  readonly lasts?: number;
  readonly left?: number;
  readonly seatOff?: boolean;
  readonly verdict?: Verdict;
}

function stateOf({
  centre,
  velocity,
  next = [],
  lasts = 5,
  left = 5,
  ...rest
}: Given): MotionState {
  const plumb: Vec2 = [centre[0], centre[2]];
  const at = (polygon: readonly Vec2[]) => containsPoint(plumb, polygon);
  const verdict = rest.verdict ?? (at(FUNCTIONAL) ? 'holds' : at(FEET) ? 'teeters' : 'falls');
  const reading: Reading = {
    ...{ mass: 70, centre, plumb, margin: null, footPosition: null, verdict },
    sentence: 'As at rest.',
    support: {
      ...{ kind: 'area', polygon: FEET, functional: FUNCTIONAL, area: 0.078 },
      ...{ contacts: ['a/soleL', 'a/soleR'], basis: 'hull', exact: true },
    },
  };
  const rate = pendulumRate(centre[1]);
  const ahead = [{ frame: 0, duration: lasts, polygon: FEET, rate }, ...next];
  const seatOff = rest.seatOff ?? false;
  return { reading, velocity, floor: 0, forward: [0, 1], footLength: 0.26, ahead, left, seatOff };
}

const step = (duration: number, z: number, frame: number): AheadSupport => ({
  ...{ frame, duration, rate: 3.2 },
  polygon: FEET.map(([x, y]): Vec2 => [x, y + z]),
});

describe('verdict of a moving frame', () => {
  const { com, expected } = readCase('o20-sit-to-stand-threshold');
  // Sagittal x there is z here.
  const seatOff: Vec3 = [0, com[2], com[0]];

  it('at seat-off carries what the check case o20 says can come to rest, with the numbers', () => {
    const motion = motionVerdict(
      stateOf({ centre: seatOff, velocity: [0, 0, 0.6], seatOff: true }),
    );
    expect(motion.verdict).toBe('carried');
    expect(motion.needed).toBeCloseTo(expected.vMin_m_s, 4);
    expect(motion.sentence).toBe(
      'Carried: 12.0 cm short of the support, needs 0.48 m/s forwards at seat-off, has 0.60.',
    );
  });

  it('at seat-off lets fall back what is too slow (case o20)', () => {
    const motion = motionVerdict(
      stateOf({ centre: seatOff, velocity: [0, 0, 0.4], seatOff: true }),
    );
    expect(motion.verdict).toBe('falls');
    expect(motion.sentence).toMatch(
      /^Falls backwards: needs 0\.48 m\/s forwards at seat-off, has 0\.40; it topples in \d\.\d\d s and no support comes in time\.$/,
    );
  });

  it('turns from falls to carried at the speed of the case, to a thousandth', () => {
    const at = (speed: number) =>
      motionVerdict(stateOf({ centre: seatOff, velocity: [0, 0, speed] })).verdict;
    expect(at(expected.vMin_m_s - 0.001)).toBe('falls');
    expect(at(expected.vMin_m_s + 0.001)).toBe('carried');
  });

  it('never excuses a hold: still and outside falls, still and inside keeps its words', () => {
    const out = motionVerdict(stateOf({ centre: [0, 1, 0.32], velocity: [0, 0, 0] }));
    expect(out.verdict).toBe('falls');
    expect(out.topplesIn).toBeGreaterThan(0.5);
    const slow = motionVerdict(
      stateOf({ centre: [0, 1, 0.32], velocity: [0, 0, -0.02], left: 0.1 }),
    );
    expect(slow.verdict).toBe('falls');
    const held = motionVerdict(stateOf({ centre: [0, 1, 0.12], velocity: [0, 0, 0.01] }));
    expect(held.verdict).toBe('holds');
    expect(held.sentence).toBe('As at rest.');
  });

  it('tells how much room a moving body has to stop', () => {
    // w = 3.1321 at 1 m: 0.1 m/s adds 3.19 cm to 12 cm; 26 - 15.2 = 10.8 cm.
    const motion = motionVerdict(stateOf({ centre: [0, 1, 0.12], velocity: [0, 0, 0.1] }));
    expect(motion.sentence).toBe(
      'Holds: moving 0.10 m/s forwards it can stop here, with 10.8 cm of room.',
    );
    expect(motion.marginOfStability).toBeCloseTo(0.108, 3);
  });

  it('teeters where it can stop only on the rim', () => {
    const motion = motionVerdict(stateOf({ centre: [0, 1, 0.15], velocity: [0, 0, 0.3] }));
    expect(motion.verdict).toBe('teeters');
  });

  it('falls where it cannot stop, unless a step comes', () => {
    const running = { centre: [0, 1, 0.12], velocity: [0, 0, 1.2] } as const;
    const alone = motionVerdict(stateOf(running));
    expect(alone.verdict).toBe('falls');
    expect(alone.sentence).toMatch(
      /^Falls forwards: moving 1\.20 m\/s forwards it can stop here from 0\.44 m\/s at most; it topples in/,
    );
    const stepping = motionVerdict(stateOf({ ...running, lasts: 0.2, next: [step(1, 0.4, 5)] }));
    expect(stepping.verdict).toBe('carried');
    expect(stepping.sentence).toMatch(
      /^Carried: moving 1\.20 m\/s forwards, the support that comes in 0\.20 s \(frame 5\) catches it; without it, it would have toppled in 0\.\d\d s\.$/,
    );
    const late = motionVerdict(stateOf({ ...running, lasts: 2, next: [step(1, 0.4, 48)] }));
    expect(late.verdict).toBe('falls');
    const astray = motionVerdict(stateOf({ ...running, lasts: 0.2, next: [step(1, -0.6, 5)] }));
    expect(astray.verdict).toBe('falls');
  });

  it('says that it cannot tell where the clip ends first', () => {
    const motion = motionVerdict(
      stateOf({ centre: [0, 1, 0.12], velocity: [0, 0, 1.2], lasts: 0.1, left: 0.1 }),
    );
    expect(motion.verdict).toBe('unknown');
    expect(motion.sentence).toContain('the clip ends in 0.10 s, before it would have toppled');
  });

  it('leaves what is in the air or has no mass as it is', () => {
    const state = stateOf({ centre: [0, 1, 0], velocity: [0, 0, 1] });
    const support = { ...state.reading.support, kind: 'none', polygon: [], contacts: [] } as const;
    const air = { ...state, reading: { ...state.reading, support, verdict: 'airborne' as const } };
    expect(motionVerdict(air)).toMatchObject({ verdict: 'airborne', extrapolated: null });
    const unknown = {
      ...state,
      reading: { ...state.reading, centre: null, verdict: 'unknown' as const },
    };
    expect(motionVerdict(unknown)).toMatchObject({ verdict: 'unknown', marginOfStability: null });
  });

  it('is the same seen in a mirror or turned about the vertical', () => {
    const given = { centre: [0.05, 0.9, -0.1] as Vec3, velocity: [0.05, 0.1, 0.5] as Vec3 };
    const state = stateOf(given);
    const plain = motionVerdict(state);
    const quarter = ([x, z]: Vec2): Vec2 => [z, -x];
    const polygon = FEET.map(quarter);
    const turned = motionVerdict({
      ...state,
      reading: {
        ...state.reading,
        centre: [-0.1, 0.9, -0.05],
        plumb: [-0.1, -0.05],
        support: { ...state.reading.support, polygon, functional: FUNCTIONAL.map(quarter) },
      },
      velocity: [0.5, 0.1, -0.05],
      forward: [1, 0],
      ahead: state.ahead.map((ahead) => ({ ...ahead, polygon })),
    });
    expect(turned.sentence).toBe(plain.sentence);
    expect(turned.marginOfStability).toBeCloseTo(plain.marginOfStability ?? 0, 12);
  });
});
