import { css, svg, type TemplateResult } from 'lit';
import type { SegmentName } from '../../core/body/index.ts';
import type { DoubtfulPoint } from '../../core/formats/index.ts';
import type { Eye } from '../bench/camera.ts';
import type { Shown } from '../bench/shown.ts';

const JOINTS: Readonly<Record<string, string>> = {
  shoulder: 'upperArm',
  elbow: 'forearm',
  wrist: 'hand',
  hip: 'thigh',
  knee: 'shank',
  ankle: 'foot',
};

/** The segment at whose joint a point of a picture lies; of the face it is the head. */
export function segmentOf(point: string): SegmentName {
  const [side, part = ''] = point.split('_');
  const segment = JOINTS[part];
  if (segment === undefined) return 'head';
  return `${segment}${side === 'left' ? 'L' : 'R'}` as SegmentName;
}

/** Joints that the picture shows badly or not at all: a ring with a question mark each. */
export function doubtMarks(
  { posed }: Shown,
  doubts: readonly DoubtfulPoint[],
  eye: Eye,
): TemplateResult {
  // Eyes, ears and nose are one head: a ring for each joint, not for each point.
  const joints = new Map<string, DoubtfulPoint>();
  for (const doubt of doubts) joints.set(`${doubt.figure}/${segmentOf(doubt.point)}`, doubt);
  return svg`<g class="doubts">${[...joints.values()].map(({ figure, point, sight }) => {
    const place = posed.get(figure)?.segments[segmentOf(point)].position;
    if (place === undefined) return svg``;
    const { x, y } = eye.project(place);
    const words = sight === 'missing' ? 'is not in the picture' : 'is unsure in the picture';
    return svg`<g data-doubt=${point}><circle cx=${x} cy=${y} r="11" class=${sight} /><text x=${x} y=${y + 5}>?</text>
      <title>${point.replace('_', ' ')} ${words}</title></g>`;
  })}</g>`;
}

export const doubtStyles = css`
  .doubts circle {
    fill: var(--sheet);
    fill-opacity: 0.75;
    stroke: var(--teeters);
    stroke-width: 2;
    stroke-dasharray: 4 2;
  }
  .doubts circle.missing {
    stroke: var(--falls);
    stroke-dasharray: 1.5 2.5;
  }
  .doubts text {
    fill: var(--ink);
    text-anchor: middle;
    font-weight: 600;
    font-size: 0.9375rem;
  }
`;
