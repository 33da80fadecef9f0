import { css, html, LitElement } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { assignedName, type Shot } from '../../core/document/index.ts';
import { shotPath } from '../app/route.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { stateWord } from './deeds.ts';
import { type BoardFacts, NO_FACTS } from './facts.ts';
import './margin-history.ts';

/** The margins of all shots over their drafts, one shot a line. */
@customElement('cl-margins-view')
export class MarginsView extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      .shot {
        display: grid;
        grid-template-columns: 14rem minmax(0, 1fr);
        gap: 0.5rem 1.5rem;
        border-top: 1px solid var(--rule);
        padding-block: 0.8rem 1rem;
        content-visibility: auto;
        contain-intrinsic-size: auto 9rem;
      }
      h3 {
        font-size: 1rem;
        overflow-wrap: anywhere;
      }
      h3 .title {
        font-weight: 400;
      }
      @media (max-width: 48rem) {
        .shot {
          grid-template-columns: minmax(0, 1fr);
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) shots: readonly Shot[] = [];
  @property({ attribute: false }) facts: BoardFacts = NO_FACTS;

  protected override render() {
    const { facts, session, shots } = this;
    if (shots.length === 0) return html`<p class="pencil">No shot is in this view.</p>`;
    return html`
      <p class="pencil small">
        Each point is a draft as it last settled; above the rule the centre is inside the support.
        Beyond 12 cm either way points stand at the rim.
      </p>
      ${repeat(
        shots,
        ({ id }) => id,
        (shot) => html`<section class="shot" aria-label="Shot ${shot.code}">
          <div>
            <h3>
              <a href=${shotPath(session.review, shot.id)}>${shot.code}</a>
              <span class="title">${shot.title}</span>
            </h3>
            <p class="pencil small">${stateWord(shot.state)}, ${assignedName(shot, facts.names) ?? 'nobody has it'}</p>
          </div>
          <cl-margin-history
            .shot=${shot}
            .drafts=${facts.drafts.get(shot.id) ?? []}
            .history=${facts.history}
            .notes=${facts.notes}
            .decisions=${facts.decisions}
          ></cl-margin-history>
        </section>`,
      )}
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-margins-view': MarginsView;
  }
}
