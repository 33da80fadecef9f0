import type { Vec3 } from '../geometry/types.ts';
import { median } from './clip-frame.ts';

/** Height of the ground under a clip: level + slope · (x, z), metres. */
export interface Ground {
  readonly level: number;
  readonly slopeX: number;
  readonly slopeZ: number;
}

export const groundAt = (ground: Ground, x: number, z: number): number =>
  ground.level + ground.slopeX * x + ground.slopeZ * z;

/** A clip's floor that rises more than this over its length is no drift any more: unitless. */
const MAX_SLOPE = 0.1;
/** Standing places must be this far apart for a slope to mean something, metres. */
const MIN_SPREAD = 0.8;

/**
 * Ground through the points on which a clip's feet stand (lowest point of a foot while it rests).
 * Recorded floors are seldom at 0 and drift along the way, so a plane is fitted by least squares;
 * points well above it (a foot that rests in the air, on a knee) are then left out and the fit is
 * repeated. Where the standing places are not far apart in a direction there is no slope in it.
 */
export function fitGround(points: readonly Vec3[]): Ground {
  if (points.length === 0) return { level: 0, slopeX: 0, slopeZ: 0 };
  let kept = points;
  let ground = plane(kept);
  for (let round = 0; round < 12; round++) {
    const rest = (p: Vec3): number => p[1] - groundAt(ground, p[0], p[2]);
    const spread = Math.max(0.004, 1.5 * median(kept.map((p) => Math.abs(rest(p)))));
    const next = points.filter((p) => rest(p) < spread && rest(p) > -4 * spread);
    if (next.length < 3 || next.length === kept.length) break;
    kept = next;
    ground = plane(kept);
  }
  return ground;
}

function plane(points: readonly Vec3[]): Ground {
  const n = points.length;
  const mean = (axis: 0 | 1 | 2): number => points.reduce((sum, p) => sum + p[axis], 0) / n;
  const [mx, my, mz] = [mean(0), mean(1), mean(2)];
  let [xx, zz, xz, xy, zy] = [0, 0, 0, 0, 0];
  for (const [x, y, z] of points) {
    xx += (x - mx) ** 2;
    zz += (z - mz) ** 2;
    xz += (x - mx) * (z - mz);
    xy += (x - mx) * (y - my);
    zy += (z - mz) * (y - my);
  }
  const wide = (sum: number): boolean => Math.sqrt(sum / n) * Math.sqrt(12) > MIN_SPREAD;
  const limit = (slope: number): number => Math.min(MAX_SLOPE, Math.max(-MAX_SLOPE, slope));
  const det = xx * zz - xz * xz;
  let slopeX = 0;
  let slopeZ = 0;
  // Two slopes only where the places cover an area; along one line its own direction only.
  if (wide(xx) && wide(zz) && det > 0.05 * xx * zz) {
    slopeX = limit((xy * zz - zy * xz) / det);
    slopeZ = limit((zy * xx - xy * xz) / det);
  } else if (wide(zz) && zz >= xx) {
    slopeZ = limit(zy / zz);
  } else if (wide(xx)) {
    slopeX = limit(xy / xx);
  }
  return { level: my - slopeX * mx - slopeZ * mz, slopeX, slopeZ };
}

/** Floor under a clip over time: heights at frames, metres; between them in straight lines. */
export interface FloorLine {
  readonly frames: readonly number[];
  readonly heights: readonly number[];
}

/** Lowest place of a foot at a frame in which it rests, metres. Two feet may rest at one frame. */
export interface Standing {
  readonly frame: number;
  readonly point: Vec3;
}

/** Farther than this from the clip's ground a resting foot stands on something else, metres. */
const MAX_LOCAL = 0.08;
/** Over this time the floor's height is smoothed, seconds: a step's length, so that steps do not jump. */
const SMOOTHING = 0.15;

/**
 * The floor as it was recorded: the ground plane, and what single steps lie above or below it (up to
 * 8 cm), smoothed over time. A step, stool or jump is none of that and stays in the motion. Null
 * without any standing.
 */
export function floorLine(
  standings: readonly Standing[],
  secondsPerFrame: number,
): FloorLine | null {
  const ground = fitGround(standings.map(({ point }) => point));
  const above = ({ point: [x, y, z] }: Standing): number => y - groundAt(ground, x, z);
  const near = standings.filter((standing) => Math.abs(above(standing)) <= MAX_LOCAL);
  if (near.length === 0) return null;
  const sigma = SMOOTHING / secondsPerFrame;
  let first = 0;
  const heights = near.map(({ frame }) => {
    while ((near[first]?.frame ?? frame) < frame - 3 * sigma) first++;
    let [sum, weights] = [0, 0];
    for (let i = first; i < near.length; i++) {
      const other = near[i] as Standing;
      if (other.frame > frame + 3 * sigma) break;
      const weight = Math.exp(-0.5 * ((other.frame - frame) / sigma) ** 2);
      sum += weight * other.point[1];
      weights += weight;
    }
    return sum / weights;
  });
  return { frames: near.map(({ frame }) => frame), heights };
}

/** Height of the floor at a frame, metres; level before the first and after the last standing. */
export function floorAt({ frames, heights }: FloorLine, frame: number): number {
  const next = frames.findIndex((at) => at >= frame);
  if (next === 0) return heights[0] ?? 0;
  if (next < 0) return heights[heights.length - 1] ?? 0;
  const [a, b] = [frames[next - 1] as number, frames[next] as number];
  const t = (frame - a) / (b - a); // a < frame <= b, so they differ
  return (heights[next - 1] as number) * (1 - t) + (heights[next] as number) * t;
}
