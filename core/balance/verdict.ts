import { containsPoint, type Vec2 } from '../geometry/index.ts';
import type { Margin, Support, Verdict } from './types.ts';

/**
 * On a support without area the plumb point counts as on it within this distance, metres: segment
 * masses and lengths are known to about a centimetre, so a line is never hit exactly.
 */
export const DEAD_BAND = 0.005;

/**
 * What a support and a margin mean for a body at rest: `holds` over the functional part of the
 * support, `teeters` over the rest of it or on a support without area, `falls` outside it,
 * `airborne` where nothing touches. A support with area has no dead band: its edge is the edge.
 */
export function verdictOf(support: Support, margin: Margin | null, plumb: Vec2): Verdict {
  if (margin === null) {
    // Without an edge there is nothing to fall over: braced without limit.
    if (support.unbounded === true) return overFunctional(support, plumb) ? 'holds' : 'teeters';
    return support.contacts.length === 0 ? 'airborne' : 'falls';
  }
  if (support.kind !== 'area') return margin.distance >= -DEAD_BAND ? 'teeters' : 'falls';
  if (margin.distance < 0) return 'falls';
  if (margin.functional === null && support.unbounded === true)
    return overFunctional(support, plumb) ? 'holds' : 'teeters';
  return margin.functional !== null && margin.functional >= 0 ? 'holds' : 'teeters';
}

const overFunctional = ({ functional }: Support, plumb: Vec2): boolean =>
  containsPoint(plumb, functional);
