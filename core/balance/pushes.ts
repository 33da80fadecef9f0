import type { Contact } from '../contact/index.ts';
import { convexHull, nearestOnPolygon, type Vec2, type Vec3 } from '../geometry/index.ts';
import type { ContactPoint } from './region/index.ts';

/** Contacts whose heights differ by less than this lie on one level, metres (rounding, not a ruler). */
export const LEVEL = 1e-6;

/** Faces steeper than 60 degrees count as sides: what leans on them cannot stand on them. */
export const SIDE = Math.cos(Math.PI / 3);

/**
 * The most that a contact may press, in body weights, so that a figure is not said to stand wedged
 * between floor and wall by pushes that no one has (that forces exist is not enough). Design values of
 * ours, no source: a quarter with an arm against a side and a whole one down on it; half with the
 * back, the hip or a foot against a side, or on the tip of a tail. What stands on feet, knees or seat has no cap.
 */
const CAPS = { armSideways: 0.25, armDown: 1, sideways: 0.5, tail: 0.5 } as const;

/**
 * What a hand that has closed round a bar or an edge bears, in body weights of its figure: half of one any
 * way, and as much again upwards on the hand, so that a figure can hang by one. Design values of ours,
 * no source.
 */
const GRIP = { anyWay: 0.5, hanging: 0.5 } as const;

const ARMS: ReadonlySet<string> = new Set(['palmL', 'palmR', 'forearmL', 'forearmR']);

/** The cap of a contact in weights of the figure that presses; undefined for none. */
export function capOf({ normal, patch }: Contact): number | undefined {
  if (patch === 'tailTip') return CAPS.tail;
  const arm = ARMS.has(patch);
  if (normal[1] < SIDE) return arm ? CAPS.armSideways : CAPS.sideways;
  return arm ? CAPS.armDown : undefined;
}

/**
 * Contacts as points for the region: the vertices of their outlines (or functional parts), with
 * friction and caps. Level ones of one height, friction and carrier are taken together: forces
 * anywhere on one level are sums of forces at the corners of its hull, so the rest of the points (the
 * sides of two feet that face each other) would only cost time.
 * @param loss how much of such a hull may be cut off at its rounded corners, metres
 */
export function pushes(
  contacts: readonly Contact[],
  part: 'outline' | 'functional',
  loss = 0,
): readonly ContactPoint[] {
  const points: ContactPoint[] = [];
  const floors = new Map<string, { points: Vec2[]; height: number; friction: number }>();
  for (const contact of contacts) {
    const { id: patch, normal, friction } = contact;
    if (contact.setting === 'gripping') {
      points.push(...gripPoints(contact, part));
      continue;
    }
    const cap = capOf(contact);
    for (const point of contact[part]) {
      if (cap === undefined && normal[1] === 1) {
        const height = Math.round(point[1] / LEVEL) * LEVEL;
        const key = `${height}/${friction}`;
        const floor = floors.get(key) ?? { points: [], height, friction };
        floor.points.push([point[0], point[2]]);
        floors.set(key, floor);
      } else points.push({ point, normal, friction, cap, patch });
    }
  }
  for (const { points: level, height, friction } of floors.values())
    for (const [x, z] of withoutCorners(convexHull(level).vertices, loss))
      points.push({ point: [x, height, z], normal: [0, 1, 0], friction });
  return points;
}

/**
 * A closed hand: at each corner of the palm its part of a hold any way, and what it hangs by. One that
 * reaches over no functional part has none there.
 */
function gripPoints(
  { id: patch, friction, ...contact }: Contact,
  part: 'outline' | 'functional',
): ContactPoint[] {
  const corners = contact[part];
  const up: Vec3 = [0, 1, 0];
  return corners.flatMap((point): ContactPoint[] => [
    { point, normal: up, friction, hold: GRIP.anyWay / corners.length, patch },
    { point, normal: up, friction: 0, cap: GRIP.hanging, patch },
  ]);
}

/** Drops vertices of a convex outline, in order, that lie within `loss` of the outline that is left. */
function withoutCorners(outline: readonly Vec2[], loss: number): readonly Vec2[] {
  if (loss === 0) return outline;
  const kept = [...outline];
  for (let i = 0; i < kept.length && kept.length > 3; ) {
    const before = kept[(i + kept.length - 1) % kept.length]!;
    const after = kept[(i + 1) % kept.length]!;
    if (nearestOnPolygon(kept[i]!, [before, after])!.distance < loss) {
      // Its neighbour, now at i, stays, so that losses do not add up along a curve.
      kept.splice(i, 1);
    }
    i++;
  }
  return kept;
}

/** Every point of every contact with its id as patch, for what must be told contact by contact. */
export function pointsOf(
  contacts: readonly Contact[],
  part: 'outline' | 'functional' = 'outline',
): readonly ContactPoint[] {
  return contacts.flatMap((contact) => {
    const { id: patch, normal, friction } = contact;
    if (contact.setting === 'gripping') return gripPoints(contact, part);
    const cap = capOf(contact);
    return contact[part].map((point) => ({ point, normal, friction, cap, patch }));
  });
}
