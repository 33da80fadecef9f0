import { applyTransform, rotate } from '../geometry/index.ts';
import type { Transform, Vec3 } from '../geometry/types.ts';
import { extentsOf, massCentre } from '../scene/index.ts';
import type { Load, LoadShape } from '../scene/types.ts';
import type { Layer } from './figure.ts';
import { outlineOf } from './polygon.ts';
import type { Sheet, Style } from './sheet.ts';
import { boxCorners } from './surfaces.ts';
import { extentOf, type PagePoint, type Projection } from './view.ts';

const FILL: Style = {
  fill: 'load',
  stroke: { ink: 'ink', width: 1.2 },
};

/** World points round a load, for its extent. */
export function loadPoints(load: Load, place: Transform): Vec3[] {
  return boxCorners(extentsOf(load.shape)).map((corner) => applyTransform(place, corner));
}

/**
 * A load as a layer: the faces of a box that the viewer sees, or a disc, with its mass on it or, where
 * there is no room, above it. What stands before the load hides its label too.
 * @param labelSize height of the label, pixels; null: none
 */
export function loadLayer(
  load: Load,
  place: Transform,
  project: Projection,
  labelSize: number | null,
): Layer {
  return {
    near: project.near(place.position),
    draw: (sheet) =>
      sheet.part('load', () => {
        drawShape(sheet, load, place, project);
        if (load.centre !== undefined)
          sheet.circle(project.at(massCentre(load, place)), 3, { fill: 'ink' });
        if (labelSize !== null) drawLabel(sheet, load, place, project, labelSize);
      }),
  };
}

function drawLabel(
  sheet: Sheet,
  load: Load,
  place: Transform,
  project: Projection,
  size: number,
): void {
  const extent = extentOf(project.view, loadPoints(load, place));
  if (extent === null) return;
  const [x, y] = project.at(place.position);
  const text = massText(load);
  const roomy = (extent.right - extent.left) * project.scale > text.length * size * 0.6;
  const above = y - ((extent.top - extent.bottom) / 2) * project.scale - 4;
  sheet.text([x, roomy ? y + size * 0.35 : above], text, {
    ink: 'ink',
    size,
    anchor: 'middle',
    ...(roomy ? {} : { halo: 'sheet' as const }),
  });
}

function drawShape(sheet: Sheet, load: Load, place: Transform, project: Projection): void {
  if (load.shape.kind === 'ball') {
    sheet.circle(project.at(place.position), load.shape.radius * project.scale, FILL);
    return;
  }
  if (load.shape.kind === 'cylinder') {
    drawCylinder(sheet, load.shape, place, project);
    return;
  }
  const faces = boxFaces(load.shape.size).filter(
    // Faces seen at less than a degree are lines under the outline of their neighbours.
    ({ normal }) => project.near(rotate(place.rotation, normal)) > 0.02,
  );
  for (const { corners } of faces) {
    const outline = corners.map((corner): PagePoint => project.at(applyTransform(place, corner)));
    sheet.shape([outline], true, FILL);
  }
}

/** Corners of a drawn circle. */
const ROUND = 32;

/** The outline round both ends, and the end that the viewer sees. */
function drawCylinder(
  sheet: Sheet,
  { radius, length }: Extract<LoadShape, { kind: 'cylinder' }>,
  place: Transform,
  project: Projection,
): void {
  const end = (side: 1 | -1): PagePoint[] =>
    Array.from({ length: ROUND }, (_, i): PagePoint => {
      const turn = (2 * Math.PI * i) / ROUND;
      const at: Vec3 = [radius * Math.cos(turn), (side * length) / 2, radius * Math.sin(turn)];
      return project.at(applyTransform(place, at));
    });
  const outline = outlineOf([...end(1), ...end(-1)]);
  if (outline !== null) sheet.shape([outline], true, FILL);
  const seen = project.near(rotate(place.rotation, [0, 1, 0]));
  if (Math.abs(seen) < 0.02) return;
  const near = outlineOf(end(seen > 0 ? 1 : -1));
  if (near !== null) sheet.shape([near], true, FILL);
}

/** The six faces of a box about its own centre, corners in order. */
function boxFaces(size: Vec3): { normal: Vec3; corners: Vec3[] }[] {
  const faces: { normal: Vec3; corners: Vec3[] }[] = [];
  for (const axis of [0, 1, 2]) {
    for (const side of [-1, 1]) {
      const at = (a: number, b: number): Vec3 => {
        const point = [0, 0, 0];
        point[axis] = (side * (size[axis] as number)) / 2;
        point[(axis + 1) % 3] = (a * (size[(axis + 1) % 3] as number)) / 2;
        point[(axis + 2) % 3] = (b * (size[(axis + 2) % 3] as number)) / 2;
        return point as unknown as Vec3;
      };
      const normal = [0, 0, 0];
      normal[axis] = side;
      faces.push({
        normal: normal as unknown as Vec3,
        corners: [at(-1, -1), at(1, -1), at(1, 1), at(-1, 1)],
      });
    }
  }
  return faces;
}

/** Mass of a load for its label: "34 kg", or "? kg" where it is not known. */
const massText = (load: Load): string =>
  load.mass === null ? '? kg' : `${Math.round(load.mass * 10) / 10} kg`;
