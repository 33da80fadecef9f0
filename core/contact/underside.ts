import {
  add,
  dot,
  length,
  normalise,
  rotate,
  scale,
  subtract,
  type Transform,
  type Vec3,
} from '../geometry/index.ts';
import { extentsOf, type LoadShape } from '../scene/index.ts';
import type { Face } from './faces.ts';
import type { Area } from './touch.ts';

/** Farthest point of a load from its centre, metres. */
export const reachOf = (shape: LoadShape): number =>
  shape.kind === 'ball' ? shape.radius : length(extentsOf(shape)) / 2;

/** The side of a load that looks most at a face: a side of its box, an end or the lowest line of a
 * cylinder, or the one point of a ball. */
export function underside(shape: LoadShape, transform: Transform, face: Face): Area {
  if (shape.kind === 'ball') {
    const outline = [add(transform.position, scale(face.normal, -shape.radius))];
    return { outline, functional: outline, normal: null };
  }
  if (shape.kind === 'cylinder') return roundSide(shape, transform, face);
  const axes = ([0, 1, 2] as const).map((i) =>
    rotate(transform.rotation, [i === 0 ? 1 : 0, i === 1 ? 1 : 0, i === 2 ? 1 : 0]),
  );
  const towards = axes.map((axis) => dot(axis, face.normal));
  const facing = ([1, 0, 2] as const).reduce((best, i) =>
    Math.abs(towards[i]!) > Math.abs(towards[best]!) + 1e-9 ? i : best,
  );
  const normal = scale(axes[facing]!, towards[facing]! > 0 ? -1 : 1);
  const middle = add(transform.position, scale(normal, shape.size[facing] / 2));
  const [u, v] = [0, 1, 2].filter((i) => i !== facing) as [0 | 1 | 2, 0 | 1 | 2];
  const outline = (
    [
      [1, 1],
      [-1, 1],
      [-1, -1],
      [1, -1],
    ] as const
  ).map(([a, b]) =>
    add(
      add(middle, scale(axes[u]!, (a * shape.size[u]) / 2)),
      scale(axes[v]!, (b * shape.size[v]) / 2),
    ),
  );
  return { outline, functional: outline, normal };
}

/** Corners of the end of a cylinder. */
const ROUND = 16;

/** An end of a cylinder that stands, the line that one rests on that lies. */
function roundSide(
  { radius, length: long }: { readonly radius: number; readonly length: number },
  { position, rotation }: Transform,
  face: Face,
): Area {
  const axis = rotate(rotation, [0, 1, 0]);
  const towards = dot(axis, face.normal);
  const end = scale(axis, (towards > 0 ? -1 : 1) * (long / 2));
  if (Math.abs(towards) > STANDS) {
    const middle = add(position, end);
    const outline = Array.from({ length: ROUND }, (_, i) => {
      const turn = (2 * Math.PI * i) / ROUND;
      const out: Vec3 = [radius * Math.cos(turn), 0, radius * Math.sin(turn)];
      return add(middle, rotate(rotation, out));
    });
    return { outline, functional: outline, normal: scale(end, 2 / long) };
  }
  const down = normalise(subtract(face.normal, scale(axis, towards)));
  const lowest = add(position, scale(down, -radius));
  const outline = [add(lowest, end), subtract(lowest, end)];
  return { outline, functional: outline, normal: scale(down, -1) };
}

/** A cylinder whose axis is within 45 degrees of a face's normal stands on its end. */
const STANDS = Math.SQRT1_2;
