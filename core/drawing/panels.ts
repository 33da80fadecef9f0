import type { BalanceReport, Reading, Support } from '../balance/types.ts';
import { applyTransform } from '../geometry/index.ts';
import type { Transform, Vec3 } from '../geometry/types.ts';
import type { PosedFigure } from '../pose/types.ts';
import { loadTransforms, posedFigures } from '../scene/index.ts';
import type { Scene, Surface } from '../scene/types.ts';
import { figureLayers } from './figure.ts';
import { loadLayer, loadPoints } from './loads.ts';
import { mannequinOf } from './mannequin.ts';
import { outlineOf } from './polygon.ts';
import { drawPlanReading, drawPlumbLine, drawSupportBar, plumbReadings } from './readings.ts';
import type { Sheet } from './sheet.ts';
import { drawSurface, surfaceCorners } from './surfaces.ts';
import { type Box, type Extent, extentOf, type Projection, planPoint, type View } from './view.ts';

/** A scene with everything placed, ready to be drawn from any side. */
export interface Placed {
  readonly scene: Scene;
  readonly report: BalanceReport;
  readonly posed: ReadonlyMap<string, PosedFigure>;
  readonly loads: ReadonlyMap<string, Transform>;
}

export function placeScene(scene: Scene, report: BalanceReport): Placed {
  const posed = posedFigures(scene);
  return { scene, report, posed, loads: loadTransforms(scene, posed) };
}

const FALLBACK: Extent = { left: -0.5, right: 0.5, bottom: 0, top: 1.8 };

const grow = (e: Extent, by: number): Extent => ({
  left: e.left - by,
  right: e.right + by,
  bottom: e.bottom - by,
  top: e.top + by,
});

/** Surfaces reach at most this far beyond the figures before they are cut off, metres. */
const SURFACE_REACH = 0.35;

function figurePoints({ posed }: Placed): Vec3[] {
  const points: Vec3[] = [];
  for (const figure of posed.values()) {
    for (const ball of mannequinOf(figure.body).flatMap(({ pieces }) => pieces.flat())) {
      const [x, y, z] = applyTransform(figure.segments[ball.segment], ball.at);
      points.push([x - ball.radius, y - ball.radius, z - ball.radius]);
      points.push([x + ball.radius, y + ball.radius, z + ball.radius]);
    }
  }
  return points;
}

/** A support that has no end is drawn as far as the sheet goes, not the other way round. */
const endedPolygon = ({ polygon, unbounded }: Support): Support['polygon'] =>
  unbounded === true ? [] : polygon;

/** What an elevation must show: figures, loads, supports, and surfaces as far as they matter. */
export function elevationExtent(placed: Placed, view: View): Extent {
  const points = figurePoints(placed);
  for (const load of placed.scene.loads) {
    const place = placed.loads.get(load.id);
    if (place !== undefined) points.push(...loadPoints(load, place));
  }
  for (const { support } of placed.report.groups)
    points.push(...endedPolygon(support).map((point) => planPoint(point)));
  const floor = placed.scene.surfaces.find(({ kind, size }) => kind === 'floor' && size === null);
  // A jump is seen against the floor it left.
  if (floor !== undefined && points.length > 0)
    points.push([(points[0] as Vec3)[0], floor.position[1], (points[0] as Vec3)[2]]);
  const inner = extentOf(view, points);
  const surfaces = placed.scene.surfaces.flatMap(surfaceCorners);
  if (inner === null) return extentOf(view, surfaces) ?? FALLBACK;
  const outer = extentOf(view, surfaces);
  if (outer === null) return inner;
  const reach = grow(inner, SURFACE_REACH);
  const within = (value: number, low: number, high: number): number =>
    Math.min(high, Math.max(low, value));
  return {
    left: Math.min(inner.left, within(outer.left, reach.left, inner.left)),
    right: Math.max(inner.right, within(outer.right, inner.right, reach.right)),
    bottom: Math.min(inner.bottom, within(outer.bottom, reach.bottom, inner.bottom)),
    top: Math.max(inner.top, within(outer.top, inner.top, reach.top)),
  };
}

/** What a plan must show: contacts, supports and plumb points; lifted feet where nothing touches. */
export function planExtent(placed: Placed, view: View): Extent {
  const points = placed.report.contacts.flatMap(({ outline }) => outline);
  if (points.length === 0)
    for (const figure of placed.posed.values()) points.push(...solePoints(figure).flat());
  for (const { support, plumb } of placed.report.groups) {
    points.push(...endedPolygon(support).map((point) => planPoint(point)));
    if (plumb !== null) points.push(planPoint(plumb));
  }
  return extentOf(view, points) ?? FALLBACK;
}

/** World outlines of both feet (sole and toes of each as one set of points). */
function solePoints({ body, segments }: PosedFigure): Vec3[][] {
  return (['L', 'R'] as const).map((side) =>
    ([`sole${side}`, `toes${side}`] as const).flatMap((name) => {
      const { segment, outline } = body.patches[name];
      return outline.map((point) => applyTransform(segments[segment], point));
    }),
  );
}

const isUpright = ({ size, rotation }: Surface): boolean =>
  size === null && Math.abs(rotation[0]) + Math.abs(rotation[2]) < 1e-6;

/** Where a plumb line ends: on the lowest thing that its figures stand on, else on the floor. */
function footHeight(placed: Placed, reading: Reading): number {
  const counted = placed.report.contacts.filter(({ id }) => reading.support.contacts.includes(id));
  const heights = counted.flatMap(({ outline }) => outline.map(([, y]) => y));
  if (heights.length > 0 && reading.verdict !== 'falls') return Math.min(...heights);
  const floors = placed.scene.surfaces.filter(isUpright).map(({ position }) => position[1]);
  if (floors.length > 0) return Math.min(...floors);
  return heights.length > 0 ? Math.min(...heights) : 0;
}

export interface ElevationStyle {
  readonly labelSize: number;
  /** Masses beside loads. */
  readonly labels: boolean;
  /** The support as a bar under the ground; left out where a plan stands below. */
  readonly bar: boolean;
  /** Page y to which a plumb line runs on; null: it ends where the figures stand. */
  readonly plumbTo: (reading: Reading) => number | null;
}

export function drawElevation(
  sheet: Sheet,
  placed: Placed,
  project: Projection,
  page: Box,
  style: ElevationStyle,
): void {
  for (const surface of placed.scene.surfaces) drawSurface(sheet, surface, project, page);
  const layers = [...placed.posed.values()].flatMap((figure) => figureLayers(figure, project));
  for (const load of placed.scene.loads) {
    const place = placed.loads.get(load.id);
    if (place !== undefined)
      layers.push(loadLayer(load, place, project, style.labels ? style.labelSize : null));
  }
  for (const { draw } of layers.sort((a, b) => a.near - b.near)) draw(sheet);
  for (const { reading, alone } of plumbReadings(placed.report)) {
    const ground = project.at([0, footHeight(placed, reading), 0])[1];
    if (style.bar && !alone) drawSupportBar(sheet, reading, project, ground + 14);
    const bottom = alone ? ground : (style.plumbTo(reading) ?? ground);
    drawPlumbLine(sheet, reading, alone, project, bottom);
  }
}

/** Soles, contacts, supports, plumb points and margins, with the outlines of what they stand on. */
export function drawPlan(
  sheet: Sheet,
  placed: Placed,
  project: Projection,
  page: Box,
  labelSize: number,
): void {
  for (const surface of placed.scene.surfaces) {
    if (surface.size !== null) drawSurface(sheet, surface, project, page);
  }
  const { report } = placed;
  sheet.part('soles', () => {
    for (const figure of placed.posed.values()) {
      for (const [i, points] of solePoints(figure).entries()) {
        const outline = outlineOf(points.map(project.at));
        if (outline === null) continue;
        const side = i === 0 ? 'L' : 'R';
        const carries = report.contacts.some(
          ({ owner, patch }) =>
            placed.posed.get(owner) === figure &&
            (patch === `sole${side}` || patch === `toes${side}`),
        );
        sheet.shape([outline], true, {
          ...(carries ? { fill: 'figure' as const } : {}),
          stroke: { ink: 'pencil', width: 1, ...(carries ? {} : { dash: [2, 2] }) },
        });
      }
    }
  });
  sheet.part('contacts', () => {
    for (const contact of report.contacts) {
      const points = contact.outline.map(project.at);
      sheet.shape([points], points.length > 2, { stroke: { ink: 'ink', width: 1 } });
    }
  });
  for (const { reading, alone } of plumbReadings(report))
    drawPlanReading(sheet, reading, alone, project, page, labelSize);
}
