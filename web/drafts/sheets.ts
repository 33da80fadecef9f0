import type { BalanceReport } from '../../core/balance/index.ts';
import { type Extent, roomOf, sceneExtent, type ViewName } from '../../core/drawing/index.ts';
import type { Scene } from '../../core/scene/index.ts';

export type Weighed = readonly [Scene, BalanceReport];

/** Sizes of an elevation and the plan under it, CSS pixels. */
export interface SheetSizes {
  readonly width: number;
  readonly elevation: number;
  readonly plan: number;
}

/**
 * Extents for an elevation and its plan that show all of several scenes at one scale and on one
 * horizontal axis, so that a plumb line falls straight into the plan.
 */
export function sheetExtents(
  scenes: readonly Weighed[],
  under: 'front' | 'side',
  sizes: SheetSizes,
): { readonly elevation: Extent; readonly plan: Extent } {
  const above = union(scenes.map(([scene, report]) => sceneExtent(scene, report, { view: under })));
  const below = union(
    scenes.map(([scene, report]) => sceneExtent(scene, report, { view: 'plan', under })),
  );
  const left = Math.min(above.left, below.left);
  const right = Math.max(above.right, below.right);
  const free = (view: ViewName, height: number): { wide: number; high: number } => {
    const room = roomOf(view);
    const high = Math.max(height - room.sides - room.below, 1);
    return { wide: Math.max(sizes.width - 2 * room.sides, 1), high };
  };
  const [up, down] = [free(under, sizes.elevation), free('plan', sizes.plan)];
  const scale = Math.min(
    Math.min(up.wide, down.wide) / Math.max(right - left, 0.1),
    up.high / Math.max(above.top - above.bottom, 0.1),
    down.high / Math.max(below.top - below.bottom, 0.1),
  );
  const fill = ({ bottom, top }: Extent, { wide, high }: typeof up): Extent => {
    const [across, middle] = [(left + right) / 2, (bottom + top) / 2];
    const [w, h] = [wide / scale / 2, high / scale / 2];
    return { left: across - w, right: across + w, bottom: middle - h, top: middle + h };
  };
  return { elevation: fill(above, up), plan: fill(below, down) };
}

const union = (extents: readonly Extent[]): Extent => ({
  left: Math.min(...extents.map(({ left }) => left)),
  right: Math.max(...extents.map(({ right }) => right)),
  bottom: Math.min(...extents.map(({ bottom }) => bottom)),
  top: Math.max(...extents.map(({ top }) => top)),
});

/** How strongly each of two layers is drawn at a place of the slider, 0 (first) to 1 (second). */
export const blendOf = (at: number): readonly [first: number, second: number] => [
  Math.min(1, 2 - 2 * at),
  Math.min(1, 2 * at),
];
