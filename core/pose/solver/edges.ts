import { swingShare } from '../swing-limits.ts';
import type { Bounds, Coordinates } from './limits.ts';
import type { Skeleton } from './skeleton.ts';
import { LOCKED, type StepProblem } from './step.ts';

/**
 * A step knows intervals only, but a swing ends at an ellipse. So near its edge a swing's two freedoms are
 * exchanged for a way across the edge (n, bounded by what is left to the edge's tangent) and a way along
 * it (t): intervals again. What the bend of the edge adds is small of second order; `holdSwings` takes it
 * off after the step.
 */

/** How far out a swing is exchanged. */
const NEAR = 0.5;
/** No swing turns by more than this in a step, radians. */
const FAR = 2;

/** For every swing of the skeleton n's x and z part; both 0 where it is told in its own angles. */
export const newEdges = ({ swings }: Skeleton): Float64Array => new Float64Array(swings.length * 2);

/** Exchanges the freedoms of swings near their edge, in a step that is filled. Writes `edges`. */
export function alongEdges(
  { swings }: Skeleton,
  at: Coordinates,
  bounds: Bounds,
  step: StepProblem,
  edges: Float64Array,
): void {
  for (let e = 0; e < swings.length; e++) {
    const { segment: s, x: i, z: j, limits } = swings[e]!;
    edges[e * 2] = edges[e * 2 + 1] = 0;
    if (step.held[i] === LOCKED) continue;
    const x = at.angles[s * 3]!;
    const z = at.angles[s * 3 + 2]!;
    const out = swingShare(x, z, limits) / bounds.share[s]!;
    if (out < NEAR) continue;
    const a = x > 0 ? limits.x[1] : limits.x[0];
    const b = z > 0 ? limits.z[1] : limits.z[0];
    // Slope of the ellipse; in a direction without range it is the edge itself.
    const sx = a === 0 ? 0 : x / (a * a);
    const sz = b === 0 ? 0 : z / (b * b);
    const size = Math.hypot(sx, sz);
    if (size === 0) continue;
    const nx = sx / size;
    const nz = sz / size;
    edges[e * 2] = nx;
    edges[e * 2 + 1] = nz;
    exchange(step, i, j, nx, nz);
    step.high[i] = Math.max(0, (1 / out - 1) * (nx * x + nz * z));
    step.low[i] = step.low[j] = -FAR;
    step.high[j] = FAR;
    step.held[i] = step.held[j] = 0;
  }
}

/** Rows, stiffness and rest of two freedoms in turned axes; what would tie the two is left out. */
function exchange(step: StepProblem, i: number, j: number, nx: number, nz: number): void {
  const { n, m, rows, stiffness, bend, rest } = step;
  for (let k = 0; k < m; k++) {
    const x = rows[k * n + i]!;
    const z = rows[k * n + j]!;
    rows[k * n + i] = nx * x + nz * z;
    rows[k * n + j] = nx * z - nz * x;
  }
  const px = stiffness[i]! * rest[i]!;
  const pz = stiffness[j]! * rest[j]!;
  mix(stiffness, i, j, nx * nx);
  mix(bend, i, j, nx * nx);
  rest[i] = (nx * px + nz * pz) / stiffness[i]!;
  rest[j] = (nx * pz - nz * px) / stiffness[j]!;
}

function mix(values: Float64Array, i: number, j: number, share: number): void {
  const [a, b] = [values[i]!, values[j]!];
  values[i] = a * share + b * (1 - share);
  values[j] = b * share + a * (1 - share);
}

/** Tells a solved step in the joints' own angles again. */
export function fromEdges({ swings }: Skeleton, { step }: StepProblem, edges: Float64Array): void {
  for (let e = 0; e < swings.length; e++) {
    const nx = edges[e * 2]!;
    const nz = edges[e * 2 + 1]!;
    if (nx === 0 && nz === 0) continue;
    const { x: i, z: j } = swings[e]!;
    const across = step[i]!;
    const along = step[j]!;
    step[i] = nx * across - nz * along;
    step[j] = nz * across + nx * along;
  }
}
