import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { HEADINGS, type Heading } from '../../core/balance/index.ts';
import {
  CALLED_VERDICTS,
  type CalledVerdict,
  type OpenCall,
  type Person,
  readCalls,
  readPeople,
} from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { shotPath } from '../app/route.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import '../bench/number-field.ts';
import { Attempt } from '../controllers/attempt.ts';
import { Follow } from '../controllers/follow.ts';
import {
  type LiveDraft,
  openCall,
  type Session,
  showCall,
  takeCallBack,
} from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import type { Calling } from './calling.ts';
import { callsPanelStyles } from './calls-panel.styles.ts';
import { renderProgress, renderShown } from './shown-calls.ts';

const AXES = [
  ['Height', 1],
  ['To the left', 0],
  ['Ahead', 2],
] as const;

/** Making the call on the shot that is on the bench: hide, call, show, and what was shown before. */
@customElement('cl-calls')
export class CallsPanel extends LitElement {
  static override styles = [shared, callsPanelStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) calling!: Calling;
  @property({ attribute: false }) live: LiveDraft | null = null;
  /** Whose progress is shown; null: mine. */
  @state() private whose: string | null = null;
  private readonly attempt = new Attempt(this);

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      this.calling.addEventListener('change', update);
      return [
        () => this.calling.removeEventListener('change', update),
        this.session.on('me', update),
      ];
    });
  }

  private get people(): ReadonlyMap<string, Person> {
    return readPeople(this.session.documents.record);
  }

  private get leads(): boolean {
    return this.session.me.role === 'lead';
  }

  private handleOpen(event: SubmitEvent): void {
    event.preventDefault();
    const { live, session } = this;
    if (live === null) return;
    const guests = new FormData(event.currentTarget as HTMLFormElement).get('guests') !== null;
    const frame = live.motion === null ? null : live.frame;
    void this.attempt.run(() =>
      openCall(session.review, { shot: live.shot, draft: live.draft, frame, guests }),
    );
  }

  private handleCoordinate(axis: number, centimetres: number): void {
    const { centre } = this.calling;
    if (centre === null) return;
    const moved = centre.map((metres, i) => (i === axis ? centimetres / 100 : metres));
    this.calling.set({ centre: moved as unknown as Vec3 });
  }

  private renderBegin() {
    if (!this.leads) {
      return html`<p class="pencil">
        Here a lead hides the readings of a shot, and everybody says by eye where the centre is and
        whether it holds. No call is open on this shot.
      </p>`;
    }
    return html`<form @submit=${this.handleOpen}>
      <p>
        Hide the readings of this shot from everybody, you too. All say by eye where the centre is and
        whether it holds; then you show it.
      </p>
      <label><input type="checkbox" name="guests" checked /> Guests call too</label>
      <button class="main" type="submit" ?disabled=${this.live === null}>Hide the readings</button>
    </form>`;
  }

  private renderOpen(open: OpenCall) {
    const { calling, session, people } = this;
    const lead = people.get(open.by)?.name ?? 'A lead';
    const elsewhere = this.live !== null && this.live.draft !== open.draft;
    return html`<section aria-label="The open call">
      <p>
        ${open.by === session.me.id ? 'You have' : `${lead} has`} hidden the readings of this shot.
        <strong role="status">${counted(open.count)}</strong>
      </p>
      ${
        elsewhere
          ? html`<p>
            The call is about another draft of this shot.
            <a href=${shotPath(session.review, open.shot, { draft: open.draft })}>Go to it</a>
          </p>`
          : this.renderFrame(open)
      }
      ${
        elsewhere || !calling.mayCall
          ? html`${calling.mayCall ? nothing : html`<p class="pencil">Guests look on at this call.</p>`}`
          : this.renderAnswer()
      }
      ${
        this.leads
          ? html`<p class="row lead">
              <button
                class=${calling.sent ? 'main' : ''}
                @click=${() => void this.attempt.run(() => showCall(session.review, open.id))}
              >Show it to everybody</button>
              <button @click=${() => void this.attempt.run(() => takeCallBack(session.review, open.id))}>
                Take the call back
              </button>
            </p>`
          : nothing
      }
    </section>`;
  }

  /** Everybody calls the same frame of what moves. */
  private renderFrame({ frame }: OpenCall) {
    const { live } = this;
    if (frame === null || live === null || live.motion === null || live.frame === frame)
      return nothing;
    return html`<p>
      The call is about another frame.
      <button @click=${() => live.setFrame(frame)}>Go to it</button>
    </p>`;
  }

  private renderAnswer() {
    const { calling } = this;
    const { centre, verdict, heading } = calling;
    return html`<form
      @submit=${(event: SubmitEvent) => {
        event.preventDefault();
        void calling.send();
      }}
    >
      <p>Drag the cross to where the centre is, in the drawing and in the plan, or type it.</p>
      <div class="place" role="group" aria-label="Your centre, from the middle of the floor">
        ${AXES.map(
          ([word, axis]) => html`<cl-number
            label=${word}
            unit="cm"
            .value=${(centre?.[axis] ?? 0) * 100}
            @cl-value=${(event: CustomEvent<number>) => this.handleCoordinate(axis, event.detail)}
          ></cl-number>`,
        )}
      </div>
      <fieldset>
        <legend>Does it hold?</legend>
        ${CALLED_VERDICTS.map(
          (item) => html`<label
            ><input
              type="radio"
              name="verdict"
              value=${item}
              .checked=${verdict === item}
              @change=${() => calling.set({ verdict: item satisfies CalledVerdict })}
            />
            ${VERDICT_WORDS[item]}</label
          >`,
        )}
      </fieldset>
      ${
        verdict === null || verdict === 'holds'
          ? nothing
          : html`<label class="way">
              Which way
              <select
                @change=${(event: Event) =>
                  calling.set({
                    heading: (event.currentTarget as HTMLSelectElement).value as Heading,
                  })}
              >
                <option value="" disabled .selected=${heading === null}>choose</option>
                ${HEADINGS.map(
                  (item) =>
                    html`<option value=${item} .selected=${heading === item}>${item}</option>`,
                )}
              </select>
            </label>`
      }
      <p class="row">
        <button class=${calling.sent ? '' : 'main'} type="submit" ?disabled=${calling.answer === null || calling.sent}>
          ${calling.sent ? 'Your call is made' : 'Make the call'}
        </button>
        ${
          calling.sent
            ? html`<span class="pencil">Nobody sees it before it is shown.</span>`
            : calling.answer === null
              ? html`<span class="pencil">${this.missing()}</span>`
              : nothing
        }
      </p>
      ${calling.trouble === '' ? nothing : html`<p role="alert">${calling.trouble}</p>`}
    </form>`;
  }

  private missing(): string {
    const { placed, verdict } = this.calling;
    if (!placed) return 'Place the centre first.';
    return verdict === null ? 'Say whether it holds.' : 'Say which way.';
  }

  protected override render() {
    const { calling, session, people } = this;
    const { open, shown } = calling;
    const all = readCalls(session.documents.record);
    return html`
      ${this.attempt.render()}
      ${open === null ? this.renderBegin() : this.renderOpen(open)}
      ${shown.map((call) => renderShown(call, { calling, people, me: session.me.id }))}
      ${renderProgress(all, {
        people,
        me: session.me.id,
        whose: this.whose ?? session.me.id,
        choose: (person) => {
          this.whose = person;
        },
      })}
    `;
  }
}

const counted = (count: number): string =>
  count === 0 ? 'Nobody has called yet.' : count === 1 ? '1 has called.' : `${count} have called.`;

declare global {
  interface HTMLElementTagNameMap {
    'cl-calls': CallsPanel;
  }
}
