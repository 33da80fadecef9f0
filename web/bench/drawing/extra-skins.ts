import type { BufferGeometry } from 'three';
import type { Extra, ExtraLink } from '../../../core/body/index.ts';
import { WING, wingBreadth } from '../../../core/drawing/index.ts';
import { applyTransform, type Vec3 } from '../../../core/geometry/index.ts';
import { loft, RING_POINTS, type Ring } from './loft.ts';

/** The skin of an extra part in the frame of its parent, metres. */
export function extraSkin({ kind, links }: Extra): BufferGeometry {
  const wing = kind === 'wingL' || kind === 'wingR';
  const down = kind === 'wingL' ? 1 : -1;
  const section = (link: ExtraLink, along: number, radius: number, share = 1): Ring => {
    const broad = radius * wingBreadth(share);
    return Array.from({ length: RING_POINTS }, (_, i) => {
      const turn = (2 * Math.PI * i) / RING_POINTS;
      const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
      const across = wing
        ? down * broad * (cos > 0 ? WING.below * cos : WING.above * cos)
        : radius * cos;
      const depth = wing ? radius * WING.thick * sin : radius * sin;
      return applyTransform(link.at, [across, along, depth]);
    });
  };
  const first = links[0]!;
  const last = links.at(-1)!;
  const rings: Ring[] = links.map((link, k) => section(link, 0, link.girth[0], k / links.length));
  // Half-round end: a hump is nearly all of it.
  const round = kind === 'hump' ? last.length : last.girth[1];
  const straight = kind === 'hump' ? 0 : last.length;
  for (const turn of [0, 0.35, 0.7, 1.05, 1.35]) {
    const radius = (kind === 'hump' ? last.girth[0] : last.girth[1]) * Math.cos(turn);
    rings.push(section(last, straight + round * (wing ? 0.6 : 1) * Math.sin(turn), radius));
  }
  const tip: Vec3 = [0, straight + round * (wing ? 0.6 : 1), 0];
  return loft(
    applyTransform(first.at, [0, -first.girth[0] * 0.4, 0]),
    rings.filter((_, i) => kind !== 'hump' || i > 0),
    applyTransform(last.at, tip),
  );
}
