import { svg, type TemplateResult } from 'lit';
import { type Sight, silhouette } from '../../core/drawing/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { extentsOf } from '../../core/scene/index.ts';
import type { Eye } from './camera.ts';
import type { Shown } from './shown.ts';

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/**
 * A ghost over the elevation: figures and loads that would stand otherwise, as outlines, with the
 * plumb line that would come of it. What stays as it is is not drawn again.
 */
export function ghostLines(ghost: Shown, now: Shown, eye: Eye): TemplateResult {
  const sight: Sight = {
    at: (point) => {
      const { x, y } = eye.project(point);
      return [x, y];
    },
    scaleAt: (point) => eye.scaleAt(point),
  };
  const moved = ghost.scene.figures.filter(
    ({ id, pose }) => !same(pose, now.scene.figures.find((one) => one.id === id)?.pose),
  );
  const ids = new Set(moved.map(({ id }) => id));
  const outlines = moved.flatMap(({ id }) => silhouette(ghost.posed.get(id)!, sight));
  const loads = ghost.scene.loads.flatMap(({ id, shape }) => {
    const place = ghost.placed.get(id);
    if (place === undefined || same(place, now.placed.get(id))) return [];
    const { x, y } = eye.project(place.position);
    const half = Math.max(...extentsOf(shape)) / 2;
    return [svg`<circle class="ghost" cx=${x} cy=${y} r=${half * eye.scaleAt(place.position)} />`];
  });
  const plumbs = ghost.report.groups
    .filter(({ members }) => members.some((id) => ids.has(id)))
    .flatMap(({ centre }) => (centre === null ? [] : [centre]));
  const line = ([x, y, z]: Vec3): TemplateResult => {
    const from = eye.project([x, y, z]);
    const to = eye.project([x, 0, z]);
    return svg`<line class="ghost" x1=${from.x} y1=${from.y} x2=${to.x} y2=${to.y} />
      <circle class="ghost" cx=${from.x} cy=${from.y} r="5" />`;
  };
  return svg`<g data-ghost="">
    ${outlines.map((points) => svg`<polygon class="ghost" points=${points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(' ')} />`)}
    ${loads}${plumbs.map(line)}
  </g>`;
}
