import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { readShots, readTitle } from '../../core/document/index.ts';
import { Attempt } from '../controllers/attempt.ts';
import {
  addPoint,
  bringDraftsBack,
  bringReviewBack,
  type KeptPoint,
  type PointShot,
  readPoint,
  readPoints,
  type Session,
} from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';

const WHY: Readonly<Record<KeptPoint['why'], string>> = {
  hour: 'an hour of work',
  'signed-off': 'signed off',
  asked: 'kept by a lead',
};

interface Opened {
  readonly point: string;
  readonly shots: readonly PointShot[];
}

/** Earlier states that the server has kept of the review: drafts or the whole of one come back beside what is here. */
@customElement('cl-points')
export class Points extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: grid;
        gap: 0.5rem;
      }
      h3 {
        font-size: 1rem;
        margin-top: 1.1rem;
        padding-top: 0.7rem;
        border-top: 1px solid var(--rule);
      }
      ul.points {
        max-height: 18rem;
        overflow-y: auto;
      }
      ul.points > li {
        padding-block: 0.35rem;
        border-bottom: 1px solid var(--rule);
      }
      .row,
      form {
        display: flex;
        flex-wrap: wrap;
        gap: 0.3rem 0.9rem;
        align-items: baseline;
      }
      fieldset {
        border: 0;
        margin: 0.4rem 0;
        padding: 0;
        display: grid;
        gap: 0.15rem;
      }
      legend {
        padding: 0;
        font-weight: 600;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private points: readonly KeptPoint[] | null = null;
  @state() private opened: Opened | null = null;
  @state() private made = '';
  private readonly attempt = new Attempt(this);

  override connectedCallback(): void {
    super.connectedCallback();
    void this.attempt.run(() => this.load());
  }

  private async load(): Promise<void> {
    this.points = await readPoints(this.session.review);
  }

  private handleKeep(): void {
    void this.attempt.run(async () => {
      await addPoint(this.session.review);
      await this.load();
      this.session.say('The review as it is now is kept.');
    });
  }

  private handleOpen(point: string): void {
    if (this.opened?.point === point) {
      this.opened = null;
      return;
    }
    void this.attempt.run(async () => {
      this.opened = { point, shots: await readPoint(this.session.review, point) };
    });
  }

  private handleDrafts(event: SubmitEvent, point: string): void {
    event.preventDefault();
    const drafts = new FormData(event.currentTarget as HTMLFormElement).getAll('draft').map(String);
    if (drafts.length === 0) {
      this.attempt.say('Tick a draft first.');
      return;
    }
    void this.attempt.run(async () => {
      await bringDraftsBack(this.session.review, point, drafts);
      this.opened = null;
      this.session.say(
        `${drafts.length === 1 ? 'The draft is' : 'The drafts are'} back as new drafts; nothing was overwritten.`,
      );
    });
  }

  private handleReview(point: KeptPoint): void {
    void this.attempt.run(async () => {
      const { review, documents } = this.session;
      const title = `${readTitle(documents.scenes)}, as of ${sayWhen(point.at, new Date())}`;
      this.made = await bringReviewBack(review, point.id, title);
      this.session.say('A new review is made of it. This one stays as it is.');
    });
  }

  private renderShots({ point, shots }: Opened, kept: KeptPoint) {
    return html`<form @submit=${(event: SubmitEvent) => this.handleDrafts(event, point)}>
      ${shots.map(
        ({ code, title, drafts }) => html`<fieldset>
          <legend>${code} ${title}</legend>
          ${drafts.map(
            (draft) => html`<label
              ><input type="checkbox" name="draft" value=${draft.id} /> Draft
              ${draft.number}${draft.title === '' ? '' : `: ${draft.title}`}</label
            >`,
          )}
        </fieldset>`,
      )}
      <button class="main" type="submit">Bring the ticked drafts back</button>
      <button type="button" @click=${() => this.handleReview(kept)}>Make a new review of all of it</button>
    </form>`;
  }

  private renderPoint(point: KeptPoint, codes: ReadonlyMap<string, string>) {
    const shot = point.shot === null ? '' : ` ${codes.get(point.shot) ?? ''}`;
    const isOpen = this.opened?.point === point.id;
    return html`<li>
      <span class="row">
        <button aria-expanded=${isOpen} @click=${() => this.handleOpen(point.id)}>
          ${sayWhen(point.at, new Date())}
        </button>
        <span class="pencil">${WHY[point.why]}${shot}</span>
      </span>
      ${isOpen && this.opened !== null ? this.renderShots(this.opened, point) : nothing}
    </li>`;
  }

  protected override render() {
    const shots = readShots(this.session.documents.scenes);
    const codes = new Map(shots.map(({ id, code }) => [id, code] as const));
    const { points, made } = this;
    return html`
      <h3>Earlier states</h3>
      <p class="pencil">The server keeps one after each hour of work and each sign-off.</p>
      ${this.attempt.render()}
      ${made === '' ? nothing : html`<p><a href=${made}>Open the new review</a></p>`}
      ${
        points === null
          ? nothing
          : points.length === 0
            ? html`<p>None yet.</p>`
            : html`<ul class="points">${points.map((point) => this.renderPoint(point, codes))}</ul>`
      }
      <p><button @click=${this.handleKeep}>Keep the review as it is now</button></p>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-points': Points;
  }
}
