import { nothing, svg, type TemplateResult } from 'lit';
import type { Vec2 } from '../../core/geometry/index.ts';
import type { Other } from '../session/index.ts';
import { inkColour, inkOf } from '../styles/inks.ts';
import type { SeenPing } from '../together/pings.ts';
import { type Axis, axisX } from './camera.ts';
import { FEW_PEOPLE } from './elevation-marks.ts';

type OnPlan = (point: Vec2) => { readonly x: number; readonly y: number };

/** Rules every 10 cm, so that a distance can be read off. */
export function planRules(axis: Axis, height: number): TemplateResult[] {
  const step = axis.scale > 90 ? 0.1 : 0.5;
  const lines: TemplateResult[] = [];
  const half = axis.width / 2 / axis.scale;
  for (let i = Math.ceil((axis.centre - half) / step); i * step <= axis.centre + half; i++) {
    const x = axisX(axis, i * step);
    lines.push(svg`<line class="rule" x1=${x} x2=${x} y1="0" y2=${height} />`);
  }
  const deep = height / 2 / axis.scale;
  const first = Math.ceil((axis.planCentre - deep) / step);
  for (let i = first; i * step <= axis.planCentre + deep; i++) {
    const y = height / 2 + (i * step - axis.planCentre) * axis.scale;
    lines.push(svg`<line class="rule" y1=${y} y2=${y} x1="0" x2=${axis.width} />`);
  }
  return lines;
}

/** Other people's pointers on the plan, named while there are few. */
export const planPeople = (others: readonly Other[], at: OnPlan): TemplateResult[] =>
  others.flatMap(({ cursor, ink, name }) => {
    if (cursor === null || cursor.view !== 'plan') return [];
    const { x, y } = at([cursor.point[0], cursor.point[2]]);
    const style = `stroke:${inkColour(ink)};stroke-dasharray:${inkOf(ink).dash.join(' ')}`;
    return svg`<circle class="person" cx=${x} cy=${y} r="8" style=${style} />
      ${
        others.length > FEW_PEOPLE
          ? nothing
          : svg`<text class="mark" x=${x} y=${y + 24} style="fill:${inkColour(ink)}">${name}</text>`
      }`;
  });

/** What people point at on the plan. */
export const planPings = (pings: readonly SeenPing[], at: OnPlan): TemplateResult[] =>
  pings
    .filter(({ view }) => view === 'plan')
    .map(({ point, name, ink }) => {
      const { x, y } = at([point[0], point[2]]);
      return svg`<circle class="ping" cx=${x} cy=${y} r="22" style="stroke:${inkColour(ink)}" />
        <text class="mark" x=${x} y=${y - 28} style="fill:${inkColour(ink)}">${name}</text>`;
    });
