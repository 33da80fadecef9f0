import { add, dot, IDENTITY, scale, subtract } from '../geometry/index.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import { length } from '../geometry/vec3.ts';
import { turnTowards } from './extra-turns.ts';
import { buildExtras, tipOf } from './extras.ts';
import type { Body, Extra } from './types.ts';

/** Most that a held tail curls, radians over its length either way (drawing practice). */
const MOST_CURL = Math.PI;
const HALVINGS = 20;

/**
 * How an extra part is turned and curled so that its tip is at a place: curled until it is as long from
 * root to tip as the way there, then turned towards it, within `EXTRA_TURNS`. Out of reach it points
 * there as near as it gets. A straight part arches up; a curled one stays curled its way.
 * @param target in the frame of the part's parent, metres
 * @param up the world's up in that frame
 * @throws RangeError where the body has no such part
 */
export function turnToHold(
  body: Body,
  id: string,
  target: Vec3,
  up: Vec3,
): { readonly turn: Quat; readonly curl: number } {
  const spec = body.spec.extras?.[id];
  if (spec === undefined) throw new RangeError(`The body has no extra part ${id}.`);
  const withCurl = (curl: number, turn = spec.turn): Extra => {
    const extra = { ...spec, curl, ...(turn === undefined ? {} : { turn }) };
    const extras = { ...body.spec.extras, [id]: extra };
    return buildExtras({ ...body.spec, extras }, body.segments).find((one) => one.id === id)!;
  };
  const posed = (curl: number): { turn: Quat; curl: number; extra: Extra } => {
    const extra = withCurl(curl);
    const turn = turnTowards(extra, spec.turn ?? IDENTITY, target);
    return { turn, curl, extra: withCurl(curl, turn) };
  };
  const rootOf = ({ links }: Extra): Vec3 => links[0]!.at.position;
  const straight = withCurl(0);
  const wanted = length(subtract(target, rootOf(straight)));
  const spanAt = (curl: number): number => {
    const extra = withCurl(curl);
    return length(subtract(tipOf(extra), rootOf(extra)));
  };
  let [low, high] = [0, MOST_CURL];
  for (let round = 0; round < HALVINGS; round++) {
    const middle = (low + high) / 2;
    if (spanAt(middle) > wanted) low = middle;
    else high = middle;
  }
  // Longer than the part is: straight. Nearer than it curls: as curled as it gets.
  const bent = wanted >= spanAt(0) ? 0 : high;
  const now = spec.curl ?? 0;
  const ways = now === 0 ? [bent, -bent] : [bent * Math.sign(now)];
  const height = ({ extra }: { extra: Extra }): number =>
    dot(scale(extra.links.map(({ at }) => at.position).reduce(add), 1 / extra.links.length), up);
  const [best] = ways.map(posed).sort((a, b) => height(b) - height(a));
  return { turn: best!.turn, curl: best!.curl };
}
