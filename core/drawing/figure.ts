import { applyTransform, rotate } from '../geometry/index.ts';
import type { Vec3 } from '../geometry/types.ts';
import { otherSide, type PosedFigure } from '../pose/index.ts';
import { type Ball, type MannequinPart, mannequinOf } from './mannequin.ts';
import { type Cover, outlineOf, uncovered } from './polygon.ts';
import type { Sheet } from './sheet.ts';
import type { PagePoint, Projection } from './view.ts';

/** Something of the scene that is drawn over what lies behind it. */
export interface Layer {
  /** Metres towards the viewer; nearer ones are drawn later. */
  readonly near: number;
  readonly draw: (sheet: Sheet) => void;
}

/** A limb that grows out of the body this much behind its twin is the far one of the two, metres. */
const FAR_ROOT = 0.06;
/** A limb that reaches this much further back than its root, on average, is drawn as a far one, metres. */
const REACHES_BACK = 0.12;
/** A limb this much behind the middle of the trunk is covered by it, metres. */
const COVERED = 0.2;

/** A part on the page. */
interface DrawnPart {
  readonly part: MannequinPart;
  readonly near: number;
  readonly outlines: readonly (readonly PagePoint[])[];
}

/** A figure as layers: trunk, head and limbs, far limbs lighter. */
export function figureLayers(posed: PosedFigure, project: Projection): Layer[] {
  const parts = mannequinOf(posed.body).map((part): DrawnPart => {
    const outlines = part.pieces
      .map((piece) => outlineOf(piece.flatMap((ball) => discOf(ball, posed, project))))
      .filter((outline) => outline !== null);
    return { part, near: nearOf(part, posed, project), outlines };
  });
  const trunk = parts.find(({ part }) => part.name === 'trunk') as DrawnPart;
  return parts.map((drawn) => {
    const { root } = drawn.part;
    const rootNear = root === null ? 0 : project.near(placeOf(root, posed));
    const far =
      root !== null &&
      (rootNear < project.near(twinRoot(root, posed)) - FAR_ROOT ||
        drawn.near < rootNear - REACHES_BACK);
    // What is about as deep as the trunk goes over it, open where it grows out of it.
    const over = !far && drawn.near > trunk.near - COVERED;
    const near = over ? Math.max(drawn.near, trunk.near) : drawn.near;
    return { near, draw: (sheet) => drawPart(sheet, drawn, trunk, posed, project, far) };
  });
}

function nearOf(part: MannequinPart, posed: PosedFigure, project: Projection): number {
  const balls = part.pieces.flat().filter(({ radius }) => radius > 0);
  const sum = balls.reduce((total, ball) => total + project.near(placeOf(ball, posed)), 0);
  return sum / balls.length;
}

const twinRoot = ({ segment }: Ball, posed: PosedFigure): Vec3 =>
  posed.segments[otherSide(segment)].position;

const placeOf = (ball: Ball, posed: PosedFigure): Vec3 =>
  applyTransform(posed.segments[ball.segment], ball.at);

function drawPart(
  sheet: Sheet,
  { part, outlines }: DrawnPart,
  trunk: DrawnPart,
  posed: PosedFigure,
  project: Projection,
  far: boolean,
): void {
  const width = lineWidth(project);
  const stroke = far
    ? { ink: 'pencil' as const, width: width * 0.8 }
    : { ink: 'ink' as const, width };
  // Inside the trunk and near the joint at once: the line would part what is one body.
  const joint = part.root && outlineOf(discOf(part.root, posed, project));
  const grown: Cover[] = joint && !far ? trunk.outlines.map((outline) => [outline, joint]) : [];
  sheet.part(part.name, () => {
    sheet.shape(outlines, true, { fill: far ? 'figure-far' : 'figure' });
    const lines = outlines.flatMap((outline) => {
      const others = outlines.filter((other) => other !== outline).map((other): Cover => [other]);
      return uncovered(outline, [...others, ...grown]);
    });
    sheet.shape(lines, false, { stroke });
    const facing = part.lines
      .filter(({ normal }) => project.near(rotate(posed.segments.head.rotation, normal)) > 0.2)
      .map(({ points }) =>
        points.map((point) => project.at(applyTransform(posed.segments.head, point))),
      );
    if (facing.length > 0) sheet.shape(facing, false, { stroke });
  });
}

const lineWidth = (project: Projection): number =>
  Math.min(1.8, Math.max(0.9, project.scale / 160));

/** Furthest a drawn disc may be from a true one, pixels. */
const ROUNDNESS = 0.12;

function discOf(ball: Ball, posed: PosedFigure, project: Projection): PagePoint[] {
  const [x, y] = project.at(placeOf(ball, posed));
  const radius = ball.radius * project.scale;
  if (radius < ROUNDNESS) return [[x, y]];
  const count = Math.ceil(Math.PI / Math.acos(1 - ROUNDNESS / radius));
  return Array.from({ length: Math.max(6, count) }, (_, i): PagePoint => {
    const turn = (i / Math.max(6, count)) * 2 * Math.PI;
    return [x + radius * Math.cos(turn), y + radius * Math.sin(turn)];
  });
}
