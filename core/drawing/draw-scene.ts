import type { BalanceReport } from '../balance/types.ts';
import type { Scene } from '../scene/types.ts';
import { drawForces, type ForceArrow } from './forces.ts';
import type { Ink, Theme } from './ink.ts';
import { drawElevation, drawPlan, elevationExtent, placeScene, planExtent } from './panels.ts';
import { svgSheet } from './sheet.ts';
import {
  type Extent,
  type Projection,
  projection,
  type View,
  type ViewName,
  viewOf,
} from './view.ts';

export interface DrawOptions {
  readonly view: ViewName;
  /** CSS pixels. */
  readonly width: number;
  readonly height: number;
  /** Which elevation a plan stands under (turns it); `front` if left out. */
  readonly under?: 'front' | 'side';
  /** `page` (colours follow the page) if left out. */
  readonly theme?: Theme;
  /** Colour of the sheet; transparent if left out. */
  readonly ground?: Ink;
  /** What must be seen, metres along and up the page; all of the scene if left out. */
  readonly extent?: Extent;
  /** Forces to be drawn over an elevation (forceArrows); none if left out. */
  readonly forces?: readonly ForceArrow[];
  /** Height of numbers, CSS pixels; 12 if left out. */
  readonly labelSize?: number;
}

const NAMES: Readonly<Record<ViewName, string>> = {
  front: 'Seen from the front',
  side: 'Seen from the side',
  plan: 'Seen from above',
};

/** The report in sentences, for people who hear a drawing. */
export const spokenReport = (report: BalanceReport): string =>
  report.groups.map(({ sentence }) => sentence).join(' ') || 'Nothing stands here yet.';

/**
 * Draws a scene and its report as an SVG document: a string that can stand in a page or in a file.
 * Without perspective; one scale in both directions.
 */
export function drawScene(scene: Scene, report: BalanceReport, options: DrawOptions): string {
  const { width, height, theme = 'page', labelSize = 12 } = options;
  const placed = placeScene(scene, report);
  const view = viewOf(options.view, options.under);
  const plan = options.view === 'plan';
  const extent =
    options.extent ?? (plan ? planExtent(placed, view) : elevationExtent(placed, view));
  const sheet = svgSheet({
    width,
    height,
    theme,
    title: NAMES[options.view],
    description: spokenReport(report),
    ...(options.ground === undefined ? {} : { ground: options.ground }),
  });
  const page = [0, 0, width, height] as const;
  const project = projectionOf({ ...options, extent });
  if (plan) drawPlan(sheet, placed, project, page, labelSize);
  else {
    const style = { labelSize, labels: true, bar: true, plumbTo: () => null };
    drawElevation(sheet, placed, project, page, style);
    if (options.forces !== undefined) drawForces(sheet, options.forces, project, labelSize);
  }
  return sheet.finish();
}

/** Page room that `drawScene` keeps free round its extent, CSS pixels. */
export function roomOf(view: ViewName): { readonly sides: number; readonly below: number } {
  // For the support bar under the ground, and for numbers beside a plan.
  return view === 'plan' ? { sides: 30, below: 30 } : { sides: 12, below: 24 };
}

/** Where `drawScene` puts the world, for what is to be drawn over it. */
export function projectionOf({
  view,
  under,
  width,
  height,
  extent,
}: Pick<DrawOptions, 'view' | 'under' | 'width' | 'height'> & {
  readonly extent: Extent;
}): Projection {
  const { sides, below } = roomOf(view);
  return scaledTo(viewOf(view, under), extent, [sides, sides, width - sides, height - below]);
}

/** What must be seen of a scene in a view, metres along and up the page. */
export function sceneExtent(
  scene: Scene,
  report: BalanceReport,
  { view, under }: Pick<DrawOptions, 'view' | 'under'>,
): Extent {
  const placed = placeScene(scene, report);
  const seen = viewOf(view, under);
  return view === 'plan' ? planExtent(placed, seen) : elevationExtent(placed, seen);
}

/** The largest scale at which `extent` fits into a box, in its middle. */
export function scaledTo(
  view: View,
  extent: Extent,
  [left, top, right, bottom]: readonly [number, number, number, number],
): Projection {
  const wide = Math.max(extent.right - extent.left, 1e-3);
  const high = Math.max(extent.top - extent.bottom, 1e-3);
  const scale = Math.max(1e-3, Math.min((right - left) / wide, (bottom - top) / high));
  return projection(view, scale, [
    (left + right) / 2 - ((extent.left + extent.right) / 2) * scale,
    (top + bottom) / 2 + ((extent.bottom + extent.top) / 2) * scale,
  ]);
}
