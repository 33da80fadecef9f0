import { html, type TemplateResult } from 'lit';
import { castMap, readCast, type Thing } from '../../core/document/index.ts';
import {
  freshId,
  LOAD_CHOICES,
  type LoadChoice,
  newFigure,
  newFloor,
  newLoad,
  newSurface,
  onFloor,
  SURFACE_CHOICES,
  type SurfaceChoice,
} from './adding.ts';
import type { Desk } from './thing-form.ts';

/**
 * What can be added to a draft, as words to press: figures (fresh or of the cast), loads, surfaces.
 * @param holder who gets a load that is carried; undefined: nobody is there
 */
export function addThings(
  { shown, live }: Desk,
  holder: string | undefined,
  add: (thing: Thing) => void,
): TemplateResult {
  const cast = readCast(castMap(live.session.documents.scenes));
  const endless = shown.scene.surfaces.some(({ size }) => size === null);
  const loads = Object.entries(LOAD_CHOICES) as [LoadChoice, string][];
  const surfaces = Object.entries(SURFACE_CHOICES) as [SurfaceChoice, string][];
  return html`<section class="add">
    <h2>Add</h2>
    <div class="row">
      <button type="button" @click=${() => add(newFigure(shown, freshId()))}>figure</button>
      ${cast.map(
        (body) =>
          html`<button type="button" data-cast-body=${body.id} @click=${() => add(newFigure(shown, freshId(), body))}>${body.name} of the cast</button>`,
      )}
    </div>
    <div class="row">
      ${loads.map(
        ([
          choice,
          words,
        ]) => html`<button type="button" ?disabled=${holder === undefined && !onFloor(choice)}
          @click=${() => add(newLoad(shown, freshId(), choice, holder ?? ''))}>${words}</button>`,
      )}
    </div>
    <div class="row">
      ${endless ? '' : html`<button type="button" @click=${() => add(newFloor(freshId()))}>floor</button>`}
      ${surfaces.map(
        ([choice, words]) =>
          html`<button type="button" @click=${() => add(newSurface(shown, freshId(), choice))}>${words}</button>`,
      )}
    </div>
  </section>`;
}
