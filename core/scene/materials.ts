import type { Vec3 } from '../geometry/types.ts';
import type { Load, LoadShape } from './types.ts';

/** What a load can be made of. */
export const MATERIALS = ['water', 'wood', 'steel', 'foam', 'body'] as const;
export type Material = (typeof MATERIALS)[number];

/** Kilograms a cubic metre, and where the number is from. */
export const DENSITIES: Readonly<
  Record<Material, { readonly density: number; readonly word: string; readonly source: string }>
> = {
  water: { density: 998, word: 'water', source: 'fresh water at 20 °C, from memory' },
  wood: {
    density: 600,
    word: 'wood',
    source: 'between pine (about 500) and oak (about 700), common practice, no source',
  },
  steel: { density: 7850, word: 'steel', source: 'carbon steel, from memory' },
  foam: { density: 30, word: 'foam', source: 'packing foam, common practice, no source' },
  body: {
    density: 1059,
    word: 'like a body',
    source: 'worked example of body density in Winter (2009), chapter 4, from memory',
  },
};

/** Volume of a shape, cubic metres. */
export function volumeOf(shape: LoadShape): number {
  if (shape.kind === 'box') return shape.size[0] * shape.size[1] * shape.size[2];
  if (shape.kind === 'ball') return (4 / 3) * Math.PI * shape.radius ** 3;
  return Math.PI * shape.radius ** 2 * shape.length;
}

/** Mass of a load: its material's density all through its shape where it has one, as set otherwise. */
export const massOf = ({
  mass,
  material,
  shape,
}: Pick<Load, 'mass' | 'material' | 'shape'>): number | null =>
  material === undefined ? mass : DENSITIES[material].density * volumeOf(shape);

/** Extents of a shape along its own axes, metres. */
export function extentsOf(shape: LoadShape): Vec3 {
  if (shape.kind === 'box') return shape.size;
  const across = 2 * shape.radius;
  return [across, shape.kind === 'ball' ? across : shape.length, across];
}
