import type { Body, Extra, ExtraLink } from '../body/types.ts';
import { applyTransform } from '../geometry/index.ts';
import type { Ball, MannequinPart } from './mannequin.ts';

/** Half of a wing's thickness, and how far it hangs below and stands above its bones, over its girth (drawing practice). */
export const WING = { thick: 0.08, above: 0.2, below: 1.6 } as const;

/** Breadth of a wing along it (0 root, 1 tip) over its girth: narrow at the shoulder, broad, pointed. */
export const wingBreadth = (share: number): number =>
  0.35 + 1.5 * Math.sin(Math.PI * Math.min(1, 0.12 + share * 0.86)) ** 0.8;

/** An extra part as pieces of skin stretched over balls, in the frame of its parent. */
export function extraPart(body: Body, extra: Extra): MannequinPart {
  const { kind, parent, links } = extra;
  const rings = links.map((link, k) => balls(extra, link, 0, k / links.length));
  const last = links.at(-1)!;
  const groups = [...rings, balls(extra, last, last.length, 1)];
  const root = links[0]!;
  return {
    name: 'extra',
    // A neck is open to the chest below, a hump on all its base.
    root: {
      segment: parent,
      at: root.at.position,
      radius:
        kind === 'neck' ? root.girth[0] : Math.max(root.girth[0], body.segments[parent].girth[0]),
    },
    pieces: groups.slice(1).map((group, i) => [...groups[i]!, ...group]),
    lines: [],
  };
}

/** The balls at one station of a link: one, or for a wing two with the breadth of it between them. */
function balls(
  { kind, parent }: Extra,
  { at, girth }: ExtraLink,
  along: number,
  share: number,
): Ball[] {
  const radius = along === 0 ? girth[0] : girth[1];
  const ball = (across: number, size: number): Ball => ({
    segment: parent,
    at: applyTransform(at, [across, along, 0]),
    radius: size,
  });
  if (kind !== 'wingL' && kind !== 'wingR')
    return [ball(0, kind === 'hump' && share === 1 ? radius * 0.8 : radius)];
  // The left wing's own +x hangs down, the right one's stands up.
  const down = kind === 'wingL' ? 1 : -1;
  const broad = wingBreadth(share) * radius;
  const thick = radius * WING.thick;
  return [ball(-down * WING.above * broad, thick), ball(down * WING.below * broad, thick)];
}
