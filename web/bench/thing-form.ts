import { html, nothing, type TemplateResult } from 'lit';
import { keyed } from 'lit/directives/keyed.js';
import { removeThing, type Thing } from '../../core/document/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import './figure-form.ts';
import './load-form.ts';
import type { Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import { nameOf } from './words.ts';

/** What the leaves of the bench have in common: who looks at what, and what they may do. */
export interface Desk {
  readonly live: LiveDraft;
  readonly shown: Shown;
  readonly posing: Posing;
  /** Whether this person may edit the draft at all. */
  readonly mayEdit: boolean;
  /** Figures that follow a clip. */
  readonly fixed: ReadonlySet<string>;
  /** The study of what is shown, where the leaf has it. */
  readonly studied?: StudyState;
}

/** Takes a thing out of the draft, and says how to get it back. */
export function dropThing({ live, shown }: Desk, kind: Thing['kind'], id: string): void {
  const what = kind === 'grip' ? 'a grip' : nameOf(shown.scene, id);
  live.session.edit('scenes', `removed ${what}`, (doc, origin) => {
    removeThing(doc, live.draft, kind, id, origin);
  });
  live.session.say(`Removed ${what}. Undo brings it back.`);
}

/** The word that removes a thing; nothing for those who may not. */
export function removeWord(
  desk: Desk,
  kind: Thing['kind'],
  id: string,
): TemplateResult | typeof nothing {
  if (!desk.mayEdit) return nothing;
  const name = nameOf(desk.shown.scene, id);
  return html`<p class="remove"><button type="button" @click=${() => dropThing(desk, kind, id)}>remove ${name}</button></p>`;
}

/** The form of a figure or load by id; nothing for an id of neither. */
export function thingForm(desk: Desk, id: string): unknown {
  const { live, shown, posing, mayEdit, fixed } = desk;
  const figure = shown.scene.figures.find((item) => item.id === id);
  if (figure !== undefined) {
    const still = fixed.has(id);
    return keyed(
      id,
      html`<cl-figure-form .figure=${figure} .live=${live} .posing=${posing} ?readonly=${!mayEdit || still}></cl-figure-form>
        ${still ? nothing : removeWord(desk, 'figure', id)}`,
    );
  }
  const load = shown.scene.loads.find((item) => item.id === id);
  if (load === undefined) return nothing;
  return keyed(
    id,
    html`<cl-load-form .load=${load} .live=${live} .shown=${shown} .posing=${posing}
        .studied=${shown.hidden ? NO_STUDY : (desk.studied ?? NO_STUDY)} ?readonly=${!mayEdit}></cl-load-form>
      ${removeWord(desk, 'load', id)}`,
  );
}
