import { html } from 'lit';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import { type DrawOptions, drawScene } from '../../core/drawing/index.ts';
import { axisMetres } from './camera.ts';
import type { Looking } from './looking.ts';
import type { Shown } from './shown.ts';

/** The elevation as lines, where the browser cannot draw in depth; on the same axis as the plan. */
export function flatDrawing(
  { scene, report }: Shown,
  { axis, height, view }: Looking,
  forces: DrawOptions['forces'] | null,
) {
  // drawScene keeps this much free at its edges: with an extent of the same shape the scales agree.
  const [side, above, below] = [12, 12, 24];
  const rise = (y: number): number => axis.low + (height - y) / axis.scale;
  const drawing = drawScene(scene, report, {
    view: view === 'side' ? 'side' : 'front',
    width: axis.width,
    height,
    ...(forces ? { forces } : {}),
    extent: {
      left: axisMetres(axis, side),
      right: axisMetres(axis, axis.width - side),
      top: rise(above),
      bottom: rise(height - below),
    },
  });
  return html`<div class="drawing">${unsafeHTML(drawing)}</div>`;
}
