import { mainGroup } from '../balance/main-group.ts';
import type { BalanceReport } from '../balance/types.ts';
import type { Scene } from '../scene/types.ts';
import { scaledTo, spokenReport } from './draw-scene.ts';
import type { Ink, Theme } from './ink.ts';
import {
  drawElevation,
  drawPlan,
  elevationExtent,
  type Placed,
  placeScene,
  planExtent,
} from './panels.ts';
import { svgSheet } from './sheet.ts';
import { type Box, extentOf, type Projection, planPoint, projection, viewOf } from './view.ts';

export interface CardOptions {
  /** CSS pixels; 240 by 200 if left out. */
  readonly width?: number;
  readonly height?: number;
  /** The elevation; the one that shows the margin if left out. */
  readonly view?: 'front' | 'side';
  readonly theme?: Theme;
  readonly ground?: Ink;
  /** Masses beside loads; false if left out. */
  readonly labels?: boolean;
  readonly labelSize?: number;
  readonly title?: string;
}

const MARGIN = 8;
/** Share of the height that the elevation takes. */
const ELEVATION = 0.66;
/** The plan of a small card is drawn larger than its elevation, at most this many times. */
const MAX_ENLARGED = 3;

/**
 * The elevation above the plan, with the plumb line running through both, as one SVG document.
 * Both share the horizontal axis of the main group's plumb line; on a small card the plan is
 * enlarged about that line, so that soles and margin can be read.
 */
export function drawCard(scene: Scene, report: BalanceReport, options: CardOptions = {}): string {
  const { width = 240, height = 200, theme = 'page', labelSize = 10 } = options;
  const placed = placeScene(scene, report);
  const name = options.view ?? tellingView(report);
  const view = viewOf(name);
  const fold = Math.round(height * ELEVATION);
  const sheet = svgSheet({
    width,
    height,
    theme,
    title: options.title ?? `Seen from the ${name}, over its plan`,
    description: spokenReport(report),
    ...(options.ground === undefined ? {} : { ground: options.ground }),
  });
  const seen = elevationExtent(placed, view);
  const elevation = scaledTo(view, seen, [MARGIN, MARGIN, width - MARGIN, fold - MARGIN]);
  // A number may stand under the lowest dimension line.
  const planBox: Box = [MARGIN, fold + MARGIN, width - MARGIN, height - MARGIN - labelSize];
  const plan = planUnder(placed, name, elevation, planBox);
  const main = mainGroup(report);
  const foot = main?.plumb ? plan.at(planPoint(main.plumb))[1] : null;

  sheet.part('plan', () => drawPlan(sheet, placed, plan, [0, fold, width, height], labelSize));
  sheet.part('elevation', () =>
    drawElevation(sheet, placed, elevation, [0, 0, width, fold], {
      labelSize,
      labels: options.labels ?? false,
      bar: false,
      plumbTo: (reading) => (reading === main ? foot : null),
    }),
  );
  return sheet.finish();
}

/** A support this many times longer one way than the other is judged across its narrow way. */
const NARROW = 4;

/**
 * The elevation that shows what the balance hangs on: the plumb line's place along the axis on which
 * it is further from the middle of the support, or across a support that is a mere strip.
 */
export function tellingView(report: BalanceReport): 'front' | 'side' {
  const main = mainGroup(report);
  const polygon = main?.support.polygon ?? [];
  if (!main?.plumb || polygon.length === 0) return 'side';
  const { plumb } = main;
  const axis = (i: 0 | 1): { half: number; off: number } => {
    const values = polygon.map((point) => point[i]);
    const low = Math.min(...values);
    const high = Math.max(...values);
    return { half: (high - low) / 2, off: Math.abs(plumb[i] - (low + high) / 2) };
  };
  const x = axis(0);
  const z = axis(1);
  if (z.half > NARROW * x.half) return 'front';
  if (x.half > NARROW * z.half) return 'side';
  return x.off * z.half > z.off * x.half ? 'front' : 'side';
}

/**
 * The plan in its box, with the main plumb point straight under its line in the elevation and the
 * rest as large as fits.
 */
function planUnder(
  placed: Placed,
  name: 'front' | 'side',
  elevation: Projection,
  box: Box,
): Projection {
  const view = viewOf('plan', name);
  const extent = planExtent(placed, view);
  const plumb = mainGroup(placed.report)?.plumb;
  const fitted = scaledTo(view, extent, box);
  if (!plumb) return fitted;
  const [left, , right] = box;
  const line = elevation.at(planPoint(plumb))[0];
  const u = extentOf(view, [planPoint(plumb)])?.left ?? 0;
  const room = (metres: number, pixels: number): number =>
    metres > 0 ? Math.max(pixels, 1) / metres : Number.POSITIVE_INFINITY;
  const scale = Math.min(
    fitted.scale,
    elevation.scale * MAX_ENLARGED,
    room(u - extent.left, line - left),
    room(extent.right - u, right - line),
  );
  const middle = (box[1] + box[3]) / 2;
  return projection(view, scale, [
    line - u * scale,
    middle + ((extent.bottom + extent.top) / 2) * scale,
  ]);
}
