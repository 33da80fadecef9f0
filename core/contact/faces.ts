import { dot, rotate, scale, type Vec3 } from '../geometry/index.ts';
import { boxesOf, type Surface } from '../scene/index.ts';
import type { Carrier } from './types.ts';

/** One flat side of a surface that a body can touch. */
export interface Face {
  readonly surface: string;
  /** Which box of the surface, where it has several. */
  readonly part?: number;
  /** The member of the scene that it belongs to, where it is no surface's. */
  readonly upon?: Carrier;
  readonly friction: number;
  /** Unit normal out of the surface. */
  readonly normal: Vec3;
  /** normal . p on the face, metres. */
  readonly offset: number;
  /** Half-spaces axis . p <= limit that bound it, square to it; none for an endless plane. */
  readonly bounds: readonly { readonly axis: Vec3; readonly limit: number }[];
  /**
   * How far a patch's middle may lie under the face and still be taken to touch it, metres: half-way through a
   * box (beyond, it is nearer to the opposite face); without limit under an endless plane.
   */
  readonly depth: number;
}

const built = new WeakMap<Surface, readonly Face[]>();

/** The faces of a surface: one of an endless plane, six of each of its boxes. */
export function surfaceFaces(surface: Surface): readonly Face[] {
  const known = built.get(surface);
  if (known !== undefined) return known;
  const boxes = boxesOf(surface);
  const faces =
    boxes.length < 2
      ? facesOf(surface)
      : boxes.flatMap((box, part) =>
          facesOf({ id: surface.id, friction: surface.friction, ...box }).map((face) => ({
            ...face,
            part,
          })),
        );
  built.set(surface, faces);
  return faces;
}

/** The faces of an endless plane or of one box. */
export function facesOf(
  surface: Pick<Surface, 'id' | 'friction' | 'position' | 'rotation' | 'size'>,
): readonly Face[] {
  const { id, friction, position, rotation, size } = surface;
  if (size === null) {
    const normal = rotate(rotation, [0, 1, 0]);
    const offset = dot(normal, position);
    return [{ surface: id, friction, normal, offset, bounds: [], depth: Number.POSITIVE_INFINITY }];
  }
  const sides = ([0, 1, 2] as const).flatMap((i) => {
    const axis = rotate(rotation, [i === 0 ? 1 : 0, i === 1 ? 1 : 0, i === 2 ? 1 : 0]);
    const half = size[i] / 2;
    return [axis, scale(axis, -1)].map((outward) => ({
      axis: outward,
      limit: dot(outward, position) + half,
      along: i,
      half,
    }));
  });
  return sides.map((side) => ({
    surface: id,
    friction,
    normal: side.axis,
    offset: side.limit,
    bounds: sides.filter(({ along }) => along !== side.along),
    depth: side.half,
  }));
}
