import type { Vec3 } from '../geometry/types.ts';
import {
  add,
  cross,
  distance,
  dot,
  length,
  lerp,
  normalise,
  scale,
  subtract,
} from '../geometry/vec3.ts';

/** What a planted leg allows the hips: a place between two spheres round `centre`, metres. */
export interface LegSpan {
  readonly centre: Vec3;
  readonly shortest: number;
  readonly longest: number;
}

/**
 * Place nearest to `target` that every planted leg (0, 1 or 2 of them) can span. Exact for the legs'
 * full length (one ball, or the lens of two); a fold that is too tight is left along the way from
 * `from`, a place that is known to be possible. Null where no place is possible.
 */
export function nearestHips(legs: readonly LegSpan[], target: Vec3, from: Vec3): Vec3 | null {
  const wanted = insideAll(legs, target);
  if (wanted === null) return null;
  const near = legs.reduce((point, leg) => outside(leg, point), wanted);
  if (allows(legs, near)) return near;
  // Two folds, or a fold against a full length: the last possible place on the way.
  if (!allows(legs, from)) return null;
  let [good, bad] = [0, 1];
  for (let step = 0; step < 40; step++) {
    const middle = (good + bad) / 2;
    if (allows(legs, lerp(from, near, middle))) good = middle;
    else bad = middle;
  }
  return lerp(from, near, good);
}

const SLACK = 1e-7; // metres; a thousandth of what a planted foot may move

const allows = (legs: readonly LegSpan[], point: Vec3): boolean =>
  legs.every(({ centre, shortest, longest }) => {
    const span = distance(centre, point);
    return span <= longest + SLACK && span >= shortest - SLACK;
  });

const onto = ({ centre }: LegSpan, point: Vec3, radius: number): Vec3 =>
  add(centre, scale(normalise(subtract(point, centre)), radius));

const outside = (leg: LegSpan, point: Vec3): Vec3 =>
  distance(leg.centre, point) < leg.shortest ? onto(leg, point, leg.shortest) : point;

/** Nearest point of the common part of the balls. */
function insideAll(legs: readonly LegSpan[], target: Vec3): Vec3 | null {
  const inBall = (leg: LegSpan, point: Vec3): boolean =>
    distance(leg.centre, point) <= leg.longest + SLACK;
  if (legs.every((leg) => inBall(leg, target))) return target;
  for (const leg of legs) {
    const point = onto(leg, target, leg.longest);
    if (!inBall(leg, target) && legs.every((other) => inBall(other, point))) return point;
  }
  const [a, b] = legs;
  return a && b ? onRim(a, b, target) : null;
}

/** Nearest point of the circle in which two balls' surfaces meet. */
function onRim(a: LegSpan, b: LegSpan, target: Vec3): Vec3 | null {
  const between = subtract(b.centre, a.centre);
  const gap = length(between);
  if (gap < 1e-9) return null;
  const axis = scale(between, 1 / gap);
  const along = (gap * gap + a.longest ** 2 - b.longest ** 2) / (2 * gap);
  const square = a.longest ** 2 - along * along;
  if (square < 0) return null;
  const middle = add(a.centre, scale(axis, along));
  const off = subtract(target, middle);
  const flat = subtract(off, scale(axis, dot(off, axis)));
  // A target on the axis itself is as near to every point of the circle: the hips go up.
  const side = normalise(cross(axis, [0, 0, 1]), [0, 1, 0]);
  return add(middle, scale(normalise(flat, side), Math.sqrt(square)));
}
