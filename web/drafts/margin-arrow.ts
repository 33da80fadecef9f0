import { html, nothing, svg, type TemplateResult } from 'lit';
import type { Comparison } from '../../core/compare/index.ts';
import { marginShare } from '../parts/margin-scale.ts';
import { arrowHead } from './arrow-head.ts';

const WIDTH = 264;
const EDGE = WIDTH / 2;
/** Pixels from the edge of the support to a rim. */
const REACH = 116;
const RULE = 30;
const FLIGHT = 12;

/**
 * How the margin went from one draft to the other, along a rule across the edge of the support: outside to
 * the left, inside to the right. Nothing where one of them has no margin.
 */
export function marginArrow({
  before,
  after,
}: Comparison['margin']): TemplateResult | typeof nothing {
  if (before === null || after === null) return nothing;
  const [from, to] = [before, after].map((margin) => EDGE + REACH * marginShare(margin));
  if (from === undefined || to === undefined) return nothing;
  return html`<svg class="margin" width=${WIDTH} height="52" viewBox="0 0 ${WIDTH} 52" aria-hidden="true">
    <line class="rule" x1=${EDGE - REACH} x2=${EDGE + REACH} y1=${RULE} y2=${RULE} />
    <line class="edge" x1=${EDGE} x2=${EDGE} y1="4" y2=${RULE + 6} />
    <text x=${EDGE - REACH} y="49">outside</text>
    <text x=${EDGE} y="49" text-anchor="middle">edge</text>
    <text x=${EDGE + REACH} y="49" text-anchor="end">inside</text>
    <circle class="first" cx=${from} cy=${RULE} r="5" />
    <circle class="second" cx=${to} cy=${RULE} r="5" />
    ${
      Math.abs(to - from) < 1
        ? nothing
        : svg`<path class="flight" d="M${from} ${FLIGHT}L${to} ${FLIGHT}${arrowHead([from, FLIGHT], [to, FLIGHT])}" />`
    }
  </svg>`;
}
