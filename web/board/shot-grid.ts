import { css, html } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import type { Draft, Shot } from '../../core/document/index.ts';
import type { Other, Session } from '../session/index.ts';
import type { BoardFacts } from './facts.ts';
import './shot-card.ts';

/** How cards hang beside each other. */
export const shotGridStyles = css`
  .row {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(min(17rem, 100%), 1fr));
    gap: 1.6rem 1.5rem;
  }
  cl-shot-card {
    position: relative;
  }
  cl-shot-card.before::before {
    content: '';
    position: absolute;
    inset: 0 auto 0 -0.8rem;
    width: 4px;
    background: var(--ink);
  }
`;

/** Shots as cards. @param landing the one before which a dragged card would land */
export const shotCards = (
  session: Session,
  shots: readonly Shot[],
  facts: BoardFacts,
  landing: string | null = null,
) =>
  repeat(
    shots,
    ({ id }) => id,
    (shot) => html`<cl-shot-card
      data-shot=${shot.id}
      class=${landing === shot.id ? 'before' : ''}
      .session=${session}
      .shot=${shot}
      .drafts=${facts.drafts.get(shot.id) ?? NO_DRAFTS}
      .history=${facts.history}
      .openNotes=${facts.openNotes.get(shot.id) ?? 0}
      .people=${facts.people.get(shot.id) ?? NOBODY}
      .names=${facts.names}
      .picked=${facts.picked.has(shot.id)}
    ></cl-shot-card>`,
  );

// One array each, so that a card with nothing new is not rendered again.
const NO_DRAFTS: readonly Draft[] = [];
const NOBODY: readonly Other[] = [];
