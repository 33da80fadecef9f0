import { describe, expect, it } from 'vitest';
import type { Vec3 } from '../../../core/geometry/index.ts';
import {
  angularMomenta,
  differentiate,
  fitFlight,
  pressureOf,
  smoothTrack,
} from '../../../core/motion/index.ts';
import { BALANCER, FLYER, type Moment, ROD, simulate } from './simulated-bodies.ts';

const distance = (a: Vec3, b: Vec3) => Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);

/** Largest distance between two tracks over frames [from, to). */
function worst(a: readonly Vec3[], b: readonly Vec3[], from: number, to: number): number {
  let most = 0;
  for (let i = from; i < to; i++) most = Math.max(most, distance(a[i]!, b[i]!));
  return most;
}

/** Change a second of a track, smoothed. */
function changeOf(track: readonly Vec3[], rate: number, cutoff: number): Vec3[] {
  const along = (axis: 0 | 1 | 2) =>
    smoothTrack(
      track.map((value) => value[axis]),
      rate,
      cutoff,
    ).velocity;
  const [x, y, z] = [along(0), along(1), along(2)];
  return track.map((_, i) => [x[i]!, y[i]!, z[i]!]);
}

describe('a free-flying body of five parts (MuJoCo)', () => {
  const rate = 120;
  let flown: Promise<Moment[]> | null = null;
  const fly = () => {
    flown ??= simulate(
      FLYER,
      {
        qpos: [0, 0, 1.2, Math.cos(0.2), 0, Math.sin(0.2), 0, 0.3, -0.4, 0.2, -0.1],
        qvel: [0.8, 0.3, 2.5, 0.5, 2, 0.7, 3, -2, 1, -4],
      },
      { rate, frames: 60 },
    );
    return flown;
  };

  it('has the velocity and the acceleration that its path gives', async () => {
    const truth = await fly();
    const { velocity, acceleration, noise } = differentiate(
      truth.map(({ centre }) => centre),
      rate,
    );
    expect(
      worst(
        velocity,
        truth.map(({ velocity: v }) => v),
        0,
        60,
      ),
    ).toBeLessThan(1e-3);
    const falls = truth.map((): Vec3 => [0, -9.81, 0]);
    expect(
      worst(
        acceleration.map((a) => a ?? [0, 0, 0]),
        falls,
        0,
        60,
      ),
    ).toBeLessThan(0.01);
    expect(noise.position).toBeLessThan(1e-5);
  });

  it('keeps its angular momentum, as found from the places of its parts', async () => {
    const truth = await fly();
    const found = angularMomenta(
      truth.map(({ points }) => points),
      rate,
    );
    const size = distance(truth[0]!.momentum, [0, 0, 0]);
    expect(size).toBeGreaterThan(2);
    // One-sided at the first and last frame, so those are left out.
    expect(
      worst(
        found,
        truth.map(({ momentum }) => momentum),
        1,
        59,
      ) / size,
    ).toBeLessThan(0.005);
    expect(distance(truth[59]!.momentum, truth[0]!.momentum) / size).toBeLessThan(1e-3);
  });

  it('falls at 9.81, and tells the scale of a clip drawn half as large', async () => {
    const path = (await fly()).map(({ centre }) => centre);
    const flight = fitFlight(path, 0, 59, rate);
    expect(flight?.gravity).toBeCloseTo(9.81, 3);
    expect(flight?.kind).toBe('flies');
    const half = path.map(([x, y, z]): Vec3 => [x / 2, y / 2, z / 2]);
    const small = fitFlight(half, 0, 59, rate);
    expect(small?.scale).toBeCloseTo(0.5, 3);
    expect(small?.kind).toBe('floats');
  });

  it('asks for no pressure: nothing carries it', async () => {
    const { centre } = (await fly())[30]!;
    expect(pressureOf({ mass: 68, centre, acceleration: [0, -9.81, 0] })).toBeNull();
  });
});

describe('bodies hinged to the floor at x = 0.05 (MuJoCo)', () => {
  const rate = 120;
  const cutoff = 15;

  const pressures = (truth: readonly Moment[], withTurning: boolean) => {
    const { acceleration } = differentiate(
      truth.map(({ centre }) => centre),
      rate,
      { cutoff },
    );
    const momenta = angularMomenta(
      truth.map(({ points }) => points),
      rate,
    );
    const turning = changeOf(momenta, rate, cutoff);
    const mass = truth[0]!.points.masses.reduce((a, b) => a + b, 0);
    return truth.map(({ centre }, i) =>
      pressureOf({
        mass,
        centre,
        acceleration: acceleration[i]!,
        ...(withTurning ? { turning: turning[i]! } : {}),
      }),
    );
  };

  it('a mass on a rod pushes at its hinge', async () => {
    const truth = await simulate(ROD, { qpos: [-0.15], qvel: [0.6] }, { rate, frames: 90 });
    const found = pressures(truth, false);
    for (let i = 6; i < 84; i++) {
      expect(Math.abs(found[i]![0] - 0.05)).toBeLessThan(0.001);
      expect(Math.abs(found[i]![1])).toBeLessThan(1e-9);
    }
  });

  it('a body that swings its trunk and arm pushes there too, once its turning is counted', async () => {
    const truth = await simulate(
      BALANCER,
      { qpos: [0.02, 0.1, 0.4], qvel: [0, 0, 0] },
      // Short: without training it folds up, and then hardly presses on the floor.
      { rate, frames: 32, drive: (t) => [0, 25 * Math.sin(9 * t), 8 * Math.sin(12 * t)] },
    );
    const momenta = truth.map(({ momentum }) => momentum);
    const foundMomenta = angularMomenta(
      truth.map(({ points }) => points),
      rate,
    );
    const most = Math.max(...momenta.map((l) => distance(l, [0, 0, 0])));
    expect(worst(foundMomenta, momenta, 1, 31) / most).toBeLessThan(0.025);

    const found = pressures(truth, true);
    const blind = pressures(truth, false);
    let error = 0;
    let without = 0;
    for (let i = 4; i < 17; i++) {
      error = Math.max(error, Math.abs(found[i]![0] - 0.05));
      without = Math.max(without, Math.abs(blind[i]![0] - 0.05));
    }
    expect(error).toBeLessThan(0.005);
    expect(without).toBeGreaterThan(0.05);
  });
});
