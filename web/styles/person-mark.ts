import { html, type TemplateResult } from 'lit';
import { inkColour, inkOf } from './inks.ts';

/** A person's line as a short stroke: hue and pattern. Decoration; the name stands beside it. */
export const personMark = (ink: number): TemplateResult => html`<svg
  class="person-mark"
  width="22"
  height="8"
  viewBox="0 0 22 8"
  aria-hidden="true"
  style="stroke:${inkColour(ink)};flex:none;vertical-align:middle"
>
  <line x1="1" y1="4" x2="21" y2="4" stroke-width="4" stroke-dasharray=${inkOf(ink).dash.join(' ')}></line>
</svg>`;
