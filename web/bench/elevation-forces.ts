import { svg, type TemplateResult } from 'lit';
import { arrowShape, type ForceArrow, forceLabels } from '../../core/drawing/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Eye } from './camera.ts';

/** The likely forces as arrows over the elevation, each as long as its share, with its newtons. */
export function forceLines(arrows: readonly ForceArrow[], eye: Eye): TemplateResult {
  const at = (point: Vec3): readonly [number, number] => {
    const { x, y } = eye.project(point);
    return [x, y];
  };
  const ends = arrows.map(({ from, to }) => [at(from), at(to)] as const);
  const points = (list: readonly (readonly [number, number])[]): string =>
    list.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ');
  return svg`<g class="forces">
    ${arrows.map(({ kind, of }, i) => {
      const shape = arrowShape(...ends[i]!);
      return shape === null
        ? svg``
        : svg`<g class="force-${kind}" data-force=${of}>
            <polyline class="under" points=${points(shape.shaft)} />
            <polyline points=${points(shape.shaft)} />
            <polygon points=${points(shape.head)} />
          </g>`;
    })}
    ${forceLabels(arrows, ends).map(
      ({ at: [x, y], anchor, text }) =>
        svg`<text x=${x} y=${y} text-anchor=${anchor}>${text}</text>`,
    )}
  </g>`;
}
