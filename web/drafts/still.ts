import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import { mainGroup } from '../../core/balance/index.ts';
import '../badge/badge.ts';
import type { Eye } from '../bench/camera.ts';
import '../bench/elevation.ts';
import type { Looking } from '../bench/looking.ts';
import '../bench/plan.ts';
import { Posing } from '../bench/posing.ts';
import type { Shown } from '../bench/shown.ts';
import type { LiveDraft, Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';

const NOBODY: ReadonlySet<string> = new Set();

/** One draft over its plan, to be looked at and not changed, through a camera that others may share. */
@customElement('cl-still')
export class Still extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: grid;
        grid-template-rows: auto minmax(0, 2.1fr) minmax(0, 1fr);
        min-width: 0;
        min-height: 0;
      }
      header {
        padding: 0.3rem 0.75rem;
        border-bottom: 1px solid var(--rule);
      }
      h2 {
        font-size: 1rem;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) looking!: Looking;
  /** Changes when `looking` does, which stays the same object. */
  @property({ attribute: false }) eye!: Eye;
  @property() heading = '';

  @query('cl-elevation') private elevation!: HTMLElement;
  @query('cl-plan') private plan!: HTMLElement;
  private readonly posing = new Posing(this);

  /** Sizes of its two drawings, CSS pixels. */
  measure(): { readonly width: number; readonly elevation: number; readonly plan: number } {
    const { elevation, plan } = this;
    return {
      width: elevation.clientWidth,
      elevation: elevation.clientHeight,
      plan: plan.clientHeight,
    };
  }

  protected override render() {
    const { session, shown, looking, posing } = this;
    const group = mainGroup(shown.report);
    return html`<header>
        <h2>${this.heading}</h2>
        ${group === undefined ? nothing : html`<cl-badge compact .reading=${group}></cl-badge>`}
      </header>
      <cl-elevation .session=${session} .shown=${shown} .looking=${looking} .eye=${this.eye}
        .posing=${posing} .fixed=${NOBODY} alone></cl-elevation>
      <cl-plan .session=${session} .shown=${shown} .looking=${looking} .eye=${this.eye}
        .posing=${posing} .fixed=${NOBODY} alone></cl-plan>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-still': Still;
  }
}
