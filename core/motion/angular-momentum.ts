import type { Vec3 } from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import { loadTransforms, posedFigures, type Scene, weightTransforms } from '../scene/index.ts';
import type { Exposure } from './held-frames.ts';

/** The masses that a group is made of, as points: one a segment or load. */
export interface PointMasses {
  /** Kilograms. */
  readonly masses: readonly number[];
  /** World places, metres: x, y, z of each in turn. */
  readonly places: Float64Array;
}

/**
 * Every segment of the named figures and every named load as a point mass at its own centre. A load
 * without a mass is left out. Order is that of the scene, so that two frames of one clip match.
 * @param members ids of figures and loads
 * @param posed the figures of the scene in the world, where they are known already
 */
export function pointMasses(
  scene: Scene,
  members: readonly string[],
  posed: ReadonlyMap<string, PosedFigure> = posedFigures(scene),
): PointMasses {
  const wanted = new Set(members);
  const masses: number[] = [];
  const places: number[] = [];
  for (const [id, { body, segments }] of posed) {
    if (!wanted.has(id)) continue;
    for (const segment of Object.values(body.segments)) {
      if (segment.mass === 0) continue;
      const { position, rotation } = segments[segment.name];
      // rotate() written out: sixteen segments a frame, ten thousand frames a clip.
      const [x, y, z] = segment.centre;
      const [qx, qy, qz, qw] = rotation;
      const tx = 2 * (qy * z - qz * y);
      const ty = 2 * (qz * x - qx * z);
      const tz = 2 * (qx * y - qy * x);
      masses.push(segment.mass);
      places.push(
        position[0] + x + qw * tx + qy * tz - qz * ty,
        position[1] + y + qw * ty + qz * tx - qx * tz,
        position[2] + z + qw * tz + qx * ty - qy * tx,
      );
    }
  }
  if (scene.loads.length > 0) {
    const placed = weightTransforms(scene, loadTransforms(scene, posed));
    for (const { id, mass } of scene.loads) {
      const at = placed.get(id);
      if (!wanted.has(id) || mass === null || at === undefined) continue;
      masses.push(mass);
      places.push(...at.position);
    }
  }
  return { masses, places: Float64Array.from(places) };
}

/**
 * Angular momentum about the common mass centre, kg m2/s: sum m_i (c_i - c) x (v_i - v), with the
 * speeds from two moments `seconds` apart and the places from the middle between them. The spin of
 * each segment about its own centre is left out: the published tables in use carry no moments of
 * inertia, and in whole-body turns the places of the segments hold most of it. A single segment that
 * spins on the spot counts for nothing here.
 * @throws RangeError when the two moments do not hold the same masses
 */
export function angularMomentum(before: PointMasses, after: PointMasses, seconds: number): Vec3 {
  const { masses } = before;
  if (masses.length !== after.masses.length)
    throw new RangeError(
      `angular momentum needs the same masses twice, got ${masses.length} and ${after.masses.length}`,
    );
  const a = before.places;
  const b = after.places;
  let total = 0;
  const centre: [number, number, number] = [0, 0, 0];
  const drift: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < masses.length; i++) {
    const m = masses[i]!;
    total += m;
    for (const axis of [0, 1, 2] as const) {
      const p = a[3 * i + axis]!;
      const q = b[3 * i + axis]!;
      centre[axis] += (m * (p + q)) / 2;
      drift[axis] += m * (q - p);
    }
  }
  if (total === 0) return [0, 0, 0];
  let lx = 0;
  let ly = 0;
  let lz = 0;
  for (let i = 0; i < masses.length; i++) {
    const m = masses[i]!;
    const j = 3 * i;
    const x = (a[j]! + b[j]!) / 2 - centre[0] / total;
    const y = (a[j + 1]! + b[j + 1]!) / 2 - centre[1] / total;
    const z = (a[j + 2]! + b[j + 2]!) / 2 - centre[2] / total;
    const vx = b[j]! - a[j]! - drift[0] / total;
    const vy = b[j + 1]! - a[j + 1]! - drift[1] / total;
    const vz = b[j + 2]! - a[j + 2]! - drift[2] / total;
    lx += m * (y * vz - z * vy);
    ly += m * (z * vx - x * vz);
    lz += m * (x * vy - y * vx);
  }
  return [lx / seconds, ly / seconds, lz / seconds];
}

/**
 * Angular momentum of every frame of a clip: between the pose before and the pose after it; the first
 * and the last pose take their one neighbour. Held frames repeat their pose's. Frames whose masses
 * differ from their neighbours' (a load taken up) give the zero vector: nothing can be said across such
 * a change.
 * @param runs the runs of equal poses that the clip is shown in; each frame by itself when left out
 */
export function angularMomenta(
  frames: readonly PointMasses[],
  rate: number,
  runs: readonly Pick<Exposure, 'from' | 'to'>[] = frames.map((_, i) => ({ from: i, to: i })),
): readonly Vec3[] {
  const momenta: Vec3[] = [];
  runs.forEach((run, i) => {
    const first = (runs[i - 1] ?? run).from;
    const last = (runs[i + 1] ?? run).from;
    const before = frames[first]!;
    const after = frames[last]!;
    const known = last > first && before.masses.length === after.masses.length;
    const momentum: Vec3 = known
      ? angularMomentum(before, after, (last - first) / rate)
      : [0, 0, 0];
    for (let frame = run.from; frame <= run.to; frame++) momenta.push(momentum);
  });
  return momenta;
}
