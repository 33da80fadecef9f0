import type { MarkEnd, MarkKind } from '../../core/document/index.ts';
import { distance, dot, length, subtract, type Vec3 } from '../../core/geometry/index.ts';
import type { Shown } from '../bench/shown.ts';

/** Where the ends of a straight mark are now; null where a joint that it follows is not in the scene. */
export function endPoints(
  { posed }: Pick<Shown, 'posed'>,
  ends: readonly MarkEnd[],
): Vec3[] | null {
  const points = ends.map((end) =>
    'point' in end ? end.point : (posed.get(end.figure)?.segments[end.segment].position ?? null),
  );
  return points.every((point) => point !== null) ? (points as Vec3[]) : null;
}

/** The angle at the middle of three points, radians, 0 to pi; 0 where an arm has no length. */
export function angleAt([from, vertex, to]: readonly [Vec3, Vec3, Vec3]): number {
  const [a, b] = [subtract(from, vertex), subtract(to, vertex)];
  const both = length(a) * length(b);
  return both < 1e-12 ? 0 : Math.acos(Math.max(-1, Math.min(1, dot(a, b) / both)));
}

/** What a mark measures, e.g. "32.4 cm" or "118°"; empty for marks that do not measure. */
export function measureText(kind: MarkKind, points: readonly Vec3[]): string {
  const [a, b, c] = points;
  if (kind === 'length' && a !== undefined && b !== undefined) {
    return `${(distance(a, b) * 100).toFixed(1)}\u00a0cm`;
  }
  if (kind === 'angle' && a !== undefined && b !== undefined && c !== undefined) {
    return `${((angleAt([a, b, c]) * 180) / Math.PI).toFixed(0)}°`;
  }
  return '';
}
