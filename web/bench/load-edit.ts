import type { SegmentName } from '../../core/body/index.ts';
import { applyTransform, IDENTITY, type Vec3 } from '../../core/geometry/index.ts';
import {
  boxesOf,
  extentsOf,
  type Load,
  type LoadPlace,
  type LoadShape,
} from '../../core/scene/index.ts';
import type { Shown } from './shown.ts';

/** Sizes, shapes and places of loads as the forms and the menu speak of them. Metres. */

interface Measure {
  readonly word: string;
  readonly read: (shape: LoadShape) => number;
  readonly write: (shape: LoadShape, metres: number) => LoadShape;
}

const boxMeasure = (word: string, axis: 0 | 1 | 2): Measure => ({
  word,
  read: (shape) => (shape.kind === 'box' ? shape.size[axis] : 0),
  write: (shape, metres) =>
    shape.kind === 'box'
      ? {
          ...shape,
          size: shape.size.map((old, i) => (i === axis ? metres : old)) as unknown as Vec3,
        }
      : shape,
});

const across: Measure = {
  word: 'across',
  read: (shape) => (shape.kind === 'box' ? 0 : shape.radius * 2),
  write: (shape, metres) => (shape.kind === 'box' ? shape : { ...shape, radius: metres / 2 }),
};

/** What of each shape is set. */
export const SHAPES: Readonly<Record<LoadShape['kind'], readonly Measure[]>> = {
  box: [boxMeasure('wide', 0), boxMeasure('high', 1), boxMeasure('deep', 2)],
  ball: [across],
  cylinder: [
    across,
    {
      word: 'long',
      read: (shape) => (shape.kind === 'cylinder' ? shape.length : 0),
      write: (shape, metres) => (shape.kind === 'cylinder' ? { ...shape, length: metres } : shape),
    },
  ],
};

/** Another shape of about the same size. */
export function reshaped(shape: LoadShape, kind: LoadShape['kind']): LoadShape {
  const [x, y, z] = extentsOf(shape);
  if (kind === 'box') return { kind, size: [x, y, z] };
  if (kind === 'ball') return { kind, radius: Math.min(x, y, z) / 2 };
  return { kind, radius: Math.min(x, z) / 2, length: y };
}

export const PLACES = {
  both: 'in both hands',
  left: 'in the left hand',
  right: 'in the right hand',
  attached: 'worn on a part',
  standing: 'standing by itself',
} as const;
export type PlaceChoice = keyof typeof PLACES;

export const placeChoice = (place: LoadPlace): PlaceChoice =>
  place.kind === 'held' ? place.hands : place.kind;

/** How a part wears a load: a pack lies against the back of the chest, a basket stands on the crown. */
export function wornOn(
  shown: Shown,
  figure: string,
  segment: SegmentName,
  shape: LoadShape,
): LoadPlace | null {
  const posed = shown.posed.get(figure);
  if (posed === undefined) return null;
  const { segments, patches } = posed.body;
  const [, high, deep] = extentsOf(shape);
  const { end } = segments[segment];
  let offset: Vec3 = [end[0] / 2, end[1] / 2, end[2] / 2];
  if (segment === 'head') offset = [0, end[1] + high / 2, end[1] * 0.1];
  if (segment === 'chest') {
    const behind = (patches.back.outline[0]?.[2] ?? -0.12) - 0.02 - deep / 2;
    offset = [0, end[1] * 0.35, behind];
  }
  return { kind: 'attached', figure, segment, offset, rotation: IDENTITY };
}

/** Where a load is when somebody chooses how it is carried; null where nobody is there to carry it. */
export function placeFor(shown: Shown, load: Load, choice: PlaceChoice): LoadPlace | null {
  const { place, id } = load;
  const at = shown.placed.get(id);
  const figure = place.kind === 'standing' ? shown.scene.figures[0]?.id : place.figure;
  if (choice === 'standing') {
    const rotation = at?.rotation ?? IDENTITY;
    return { kind: 'standing', position: at?.position ?? [0, 0.2, 0], rotation };
  }
  if (figure === undefined) return null;
  if (choice === 'attached') return wornOn(shown, figure, 'chest', load.shape);
  const hang = load.look === 'bag' ? -extentsOf(load.shape)[1] / 2 - 0.06 : 0;
  return { kind: 'held', figure, hands: choice, offset: [0, hang, 0] };
}

/** A load upright on the middle of a surface; on a plane without end where it is now. */
export function onSurface(shown: Shown, load: Load, surface: string): LoadPlace | null {
  const under = shown.scene.surfaces.find(({ id }) => id === surface);
  if (under === undefined) return null;
  const half = extentsOf(load.shape)[1] / 2;
  const now = shown.placed.get(load.id)?.position ?? [0, 0, 0];
  const [top] = boxesOf(under);
  if (top === undefined) {
    const [x, , z] = now;
    return { kind: 'standing', position: [x, under.position[1] + half, z], rotation: IDENTITY };
  }
  const position = applyTransform(top, [0, top.size[1] / 2 + half, 0]);
  return { kind: 'standing', position, rotation: top.rotation };
}
