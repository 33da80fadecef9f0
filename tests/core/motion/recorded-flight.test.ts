import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readClip } from '../../../core/formats/index.ts';
import type { Vec3 } from '../../../core/geometry/index.ts';
import { fitFlight } from '../../../core/motion/index.ts';
import { poseFigure } from '../../../core/pose/index.ts';

/** Metres a unit of the clips of that database: 0.0254 / 0.45 (see clip.test.ts). */
const UNIT = 0.0564444;

const FILE = readFileSync(
  new URL('../../fixtures/clips/cmu_02_04_flight.bvh', import.meta.url),
  'utf8',
);
/** The numbers of its frames; the first three are the place of the hips. */
const rows = (): number[][] =>
  FILE.trim()
    .split('\n')
    .slice(-11)
    .map((row) => row.split(' ').map(Number));

/**
 * Where the mass centre was recorded, metres. A clip that never stands has no floor, so each of its
 * poses is set down on one; what was taken off is put back.
 */
function recordedCentres(scale: number): { path: Vec3[]; rate: number } {
  const read = readClip(FILE, { mass: 75, table: 'deleva-male', scale });
  if (!read.ok) throw new Error(read.message);
  const { body, poseAt, placementAt, frameCount, rate } = read.clip;
  const path = Array.from({ length: frameCount }, (_, frame): Vec3 => {
    const [x, y, z] = poseFigure(body, poseAt(frame)).centre;
    return [x, y - placementAt(frame).position[1], z];
  });
  return { path, rate };
}

// A recorded jump with swinging arms (tests/fixtures/clips): a third of a second in the air, over its
// highest point. Whatever the limbs do, the centre has to fall at 9.81 m/s2.
describe('the flight of a recorded jump', () => {
  it('falls at 9.81 within 5 percent at its size', () => {
    const { path, rate } = recordedCentres(UNIT);
    const flight = fitFlight(path, 0, path.length - 1, rate);
    expect(Math.abs((flight?.gravity ?? 0) / 9.81 - 1)).toBeLessThan(0.05);
    expect(flight?.kind).toBe('flies');
    expect(flight?.residual).toBeLessThan(0.005);
  });

  it('tells its size where it was brought in too small', () => {
    const { path, rate } = recordedCentres(0.7 * UNIT);
    const flight = fitFlight(path, 0, path.length - 1, rate);
    expect(Math.abs((flight?.scale ?? 0) / 0.7 - 1)).toBeLessThan(0.05);
    expect(flight?.kind).toBe('floats');
  });

  it('is that of the mass centre: the hips alone, which the limbs move about, fall otherwise', () => {
    const { path, rate } = recordedCentres(UNIT);
    const hips = rows().map(([x, y, z]): Vec3 => [x! * UNIT, y! * UNIT, z! * UNIT]);
    const off = (track: readonly Vec3[]) =>
      Math.abs((fitFlight(track, 0, track.length - 1, rate)?.gravity ?? 0) - 9.81);
    expect(off(path)).toBeLessThan(off(hips) / 2);
  });
});
