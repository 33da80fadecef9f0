import { applyTransform, clipConvex } from '../geometry/index.ts';
import type { Vec3 } from '../geometry/types.ts';
import { boxesOf, type SurfaceBox } from '../scene/index.ts';
import type { Surface } from '../scene/types.ts';
import { chord, hatch, outlineOf } from './polygon.ts';
import type { Sheet, Style } from './sheet.ts';
import type { PagePoint, Projection } from './view.ts';

const EDGE: Style = { stroke: { ink: 'ink', width: 1 } };
const HATCH: Style = { stroke: { ink: 'pencil', width: 0.6 } };
const HATCH_SPACING = 6;
/** Depth of the ground strip under an endless plane, pixels. */
const GROUND_DEPTH = 8;

/** The eight corners of a box of full extents `size` about its own centre. */
export function boxCorners(size: Vec3): Vec3[] {
  const corners: Vec3[] = [];
  for (const x of [-0.5, 0.5])
    for (const y of [-0.5, 0.5])
      for (const z of [-0.5, 0.5]) corners.push([x * size[0], y * size[1], z * size[2]]);
  return corners;
}

/** World corners of a surface; none for an endless plane. */
export const surfaceCorners = (surface: Surface): Vec3[] => boxesOf(surface).flatMap(cornersOf);

const cornersOf = (box: SurfaceBox): Vec3[] =>
  boxCorners(box.size).map((corner) => applyTransform(box, corner));

/**
 * Draws what figures stand on, cut as in a builder's drawing: outlines in ink, matter hatched at 45
 * degrees. An endless plane is its edge with a strip of hatching, and nothing where it is seen flat.
 * @param page left, top, right, bottom of the drawing, pixels
 */
export function drawSurface(
  sheet: Sheet,
  surface: Surface,
  project: Projection,
  page: PageBox,
): void {
  sheet.part('surface', () => {
    if (surface.size === null) {
      const strip = planeStrip(surface, project, page);
      if (strip === null || !drawSolid(sheet, strip, project, page, false)) return;
      sheet.shape([[strip[0] as PagePoint, strip[1] as PagePoint]], false, EDGE);
      return;
    }
    // What is nearer is drawn over what lies behind it.
    const boxes = boxesOf(surface).toSorted(
      (a, b) => project.near(a.position) - project.near(b.position),
    );
    for (const box of boxes) {
      const outline = outlineOf(cornersOf(box).map(project.at));
      if (outline !== null) drawSolid(sheet, outline, project, page, true);
    }
  });
}

/** Matter cut by the page; gives whether any of it is on the page. */
function drawSolid(
  sheet: Sheet,
  solid: readonly PagePoint[],
  project: Projection,
  page: PageBox,
  edged: boolean,
): boolean {
  const shown = clipConvex(solid, corners(page));
  if (shown.length < 3) return false;
  const fromAbove = project.view.toward[1] === 1;
  sheet.shape([shown], true, { fill: 'sheet', fillOpacity: fromAbove ? 0.5 : 1 });
  if (!fromAbove) sheet.shape(hatch(shown, HATCH_SPACING), false, HATCH);
  if (edged) sheet.shape([shown], true, EDGE);
  return true;
}

const corners = ([left, top, right, bottom]: PageBox): PagePoint[] => [
  [left, top],
  [right, top],
  [right, bottom],
  [left, bottom],
];

type PageBox = readonly [left: number, top: number, right: number, bottom: number];

/** The strip of ground under an endless plane seen edge-on; its first two points are the edge. */
function planeStrip(
  surface: Surface,
  project: Projection,
  page: PageBox,
): readonly PagePoint[] | null {
  const normal = applyTransform({ ...surface, position: [0, 0, 0] }, [0, 1, 0]);
  const { right: u, up: v } = project.view;
  const nu = normal[0] * u[0] + normal[1] * u[1] + normal[2] * u[2];
  const nv = normal[0] * v[0] + normal[1] * v[1] + normal[2] * v[2];
  const length = Math.hypot(nu, nv);
  // Seen at a slant the plane has no edge to draw.
  if (length < 0.999) return null;
  const edge = chord(corners(page), project.at(surface.position), [nv / length, nu / length]);
  if (edge === null) return null;
  const down: PagePoint = [(-nu / length) * GROUND_DEPTH, (nv / length) * GROUND_DEPTH];
  const [a, b] = edge;
  return [a, b, [b[0] + down[0], b[1] + down[1]], [a[0] + down[0], a[1] + down[1]]];
}
