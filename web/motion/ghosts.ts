import { css, svg, type TemplateResult } from 'lit';
import type { SegmentName } from '../../core/body/index.ts';
import { applyTransform } from '../../core/geometry/index.ts';
import type { PosedFigure } from '../../core/pose/index.ts';
import type { Eye } from '../bench/camera.ts';

/** A contact pose before or after the frame that is shown. */
export interface Ghost {
  /** Number of its frame, as the shot counts. */
  readonly number: number;
  readonly figures: readonly PosedFigure[];
}

/** Limbs as strokes, with their breadth as a share of stature (own choice: a quiet shape, no anatomy). */
const STROKES: readonly (readonly [SegmentName, number])[] = [
  ['pelvis', 0.11],
  ['abdomen', 0.12],
  ['chest', 0.13],
  ['head', 0.08],
  ['upperArmL', 0.045],
  ['forearmL', 0.037],
  ['handL', 0.03],
  ['upperArmR', 0.045],
  ['forearmR', 0.037],
  ['handR', 0.03],
  ['thighL', 0.07],
  ['shankL', 0.05],
  ['footL', 0.035],
  ['thighR', 0.07],
  ['shankR', 0.05],
  ['footR', 0.035],
];

/** Contact poses as faint shapes behind the drawing's lines, each with its frame number. */
export function ghostShapes(ghosts: readonly Ghost[], eye: Eye): TemplateResult {
  return svg`<g class="ghosts" aria-hidden="true">${ghosts.map(
    ({ number, figures }) => svg`<g>${figures.map((figure) => ghostOf(figure, eye, number))}</g>`,
  )}</g>`;
}

function ghostOf(posed: PosedFigure, eye: Eye, number: number): TemplateResult {
  const { body, segments } = posed;
  const at = segments.pelvis.position;
  const above = eye.project([at[0], at[1] + 1, at[2]]);
  const here = eye.project(at);
  const scale = Math.hypot(above.x - here.x, above.y - here.y);
  const top = eye.project(applyTransform(segments.head, body.segments.head.end));
  return svg`${STROKES.map(([name, breadth]) => {
    const from = eye.project(segments[name].position);
    const to = eye.project(applyTransform(segments[name], body.segments[name].end));
    return svg`<line x1=${from.x} y1=${from.y} x2=${to.x} y2=${to.y}
      stroke-width=${Math.max(2, breadth * body.spec.stature * scale)} />`;
  })}<text x=${top.x} y=${top.y - 10}>${number}</text>`;
}

export const ghostStyles = css`
  .ghosts g {
    stroke: var(--pencil);
    stroke-linecap: round;
    opacity: 0.28;
  }
  .ghosts text {
    fill: var(--ink);
    stroke: none;
    text-anchor: middle;
    font-size: 0.875rem;
  }
`;
