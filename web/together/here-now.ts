import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { boardMaps, readShots } from '../../core/document/index.ts';
import { shotPath } from '../app/route.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Other, Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { companyOf, goOnMyOwn, goWith } from './going.ts';
import { hereNowStyles } from './here-now.styles.ts';

/** This many others stand in the line at most, where it is wide enough; the list behind the number has all. */
const IN_LINE = 4;

/**
 * Here now: who is in the review and where, whom I go with, whose hand is up. Fires `cl-people` when
 * the list of everybody is asked for.
 */
@customElement('cl-here-now')
export class HereNow extends LitElement {
  static override styles = [shared, hereNowStyles];

  @property({ attribute: false }) session!: Session;
  @state() private unfolded = false;
  @query('.line') private line!: HTMLElement | null;
  private readonly resized = new ResizeObserver(() => this.foldAway());
  /** What the list says now, as text. */
  private told = '';
  private codes: ReadonlyMap<string, string> = new Map();

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    const readCodes = (): void => {
      const shots = readShots(this.session.documents.scenes);
      this.codes = new Map(shots.map(({ id, code }) => [id, code] as const));
      update();
    };
    new Follow(this, () => {
      readCodes();
      return [
        this.session.on('presence', () => this.readPeople()),
        this.session.on('me', update),
        observeMaps(boardMaps(this.session.documents.scenes), readCodes),
        onPress((event) => {
          if (!event.composedPath().includes(this)) this.unfolded = false;
        }),
      ];
    });
  }

  protected override updated(): void {
    if (this.line !== null) this.resized.observe(this.line);
    this.foldAway();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.resized.disconnect();
  }

  /** Who finds no place in the line is out of reach there: one finds them in the list. */
  private foldAway(): void {
    const top = this.renderRoot.querySelector<HTMLElement>('.me')?.offsetTop ?? 0;
    const column = this.line !== null && getComputedStyle(this.line).flexDirection === 'column';
    for (const item of this.renderRoot.querySelectorAll<HTMLElement>('.other')) {
      item.inert = !column && item.offsetTop > top;
    }
  }

  /** Pointers move all the time; the list changes only when somebody does something that is in it. */
  private readPeople(): void {
    const { showing } = this.session;
    const told = this.session
      .others()
      .map(({ person, name, ink, role, shot, draft, hand, with: goesWith }) =>
        [person, name, ink, role, shot, draft, hand, goesWith].join('/'),
      );
    const key = [showing.with, showing.hand, showing.along, ...told].join('|');
    if (key === this.told) return;
    this.told = key;
    this.requestUpdate();
  }

  /** The others, each once, whose hand went up first and leads before everybody else. */
  private get people(): readonly Other[] {
    const people = new Map<string, Other>();
    for (const other of this.session.others()) {
      const known = people.get(other.person);
      // A person with two windows is where they look at a shot.
      const better = known === undefined || (known.shot === null && other.shot !== null);
      if (other.person !== this.session.me.id && better) people.set(other.person, other);
    }
    const rank = (other: Other): number =>
      other.person === this.session.showing.with
        ? 0
        : other.hand !== null
          ? 1
          : other.role === 'lead'
            ? 2
            : 3;
    return [...people.values()].sort(
      (a, b) =>
        rank(a) - rank(b) ||
        (a.hand ?? 0) - (b.hand ?? 0) ||
        a.name.localeCompare(b.name, undefined, { numeric: true }),
    );
  }

  private handleGo(other: Other): void {
    if (this.session.showing.with === other.person) goOnMyOwn(this.session);
    else goWith(this.session, other);
  }

  private toggleHand(): void {
    const { session } = this;
    session.show({ hand: session.showing.hand === null ? Date.now() : null });
    session.say(
      session.showing.hand === null ? 'Your hand is down.' : 'Your hand is up: all see it.',
    );
  }

  private toggleAlong(): void {
    const { session } = this;
    session.show({ along: session.showing.along === null ? Date.now() : null });
    session.say(
      session.showing.along === null
        ? 'Nobody is asked along any more. Who goes with you stays with you.'
        : 'Everyone is asked to come along with you.',
    );
  }

  private renderGo(other: Other) {
    const { person, name, shot, hand, ink } = other;
    const isWith = this.session.showing.with === person;
    const code = shot === null ? undefined : this.codes.get(shot);
    const place = code === undefined ? 'on the board' : `on ${code}`;
    return html`${personMark(ink)}
      <button
        aria-pressed=${isWith}
        aria-label=${isWith ? `With ${name}, ${place}: go on my own` : `Go with ${name}, ${place}`}
        title=${isWith ? 'On my own' : `${name}, ${place}: see what they see until you move`}
        @click=${() => this.handleGo(other)}
      >${name}</button>
      ${hand === null ? nothing : html`<span class="hand">hand up</span>`}`;
  }

  /** A row of the list of all: the person and where they are. */
  private renderRow(other: Other) {
    const { shot, draft } = other;
    const code = shot === null ? undefined : this.codes.get(shot);
    return html`<li>
      ${this.renderGo(other)}
      ${
        code === undefined || shot === null
          ? html`<span class="pencil">on the board</span>`
          : html`<span class="pencil">on <a href=${shotPath(this.session.review, shot, { draft })}>${code}</a></span>`
      }
    </li>`;
  }

  private renderMine() {
    const { session } = this;
    const { me } = session;
    return html`<li class="me">
      ${personMark(me.ink)}
      <button title=${me.name} @click=${() => this.dispatchEvent(new CustomEvent('cl-people'))}>${me.name}</button>
      <span class="role pencil">you, ${me.role}</span>
    </li>`;
  }

  private renderDeeds() {
    const { me, showing } = this.session;
    return html`<div class="deeds">
      <button aria-pressed=${showing.hand !== null} @click=${this.toggleHand}>Hand up</button>
      ${
        me.role === 'lead'
          ? html`<button
              aria-pressed=${showing.along !== null}
              title="Ask everyone to come along with you"
              @click=${this.toggleAlong}
            >Ask along</button>`
          : nothing
      }
    </div>`;
  }

  private renderNumber(people: readonly Other[]) {
    const { unfolded } = this;
    const hands = people.filter(({ hand }) => hand !== null).length;
    const raised = hands === 0 ? '' : `, ${hands} ${hands === 1 ? 'hand' : 'hands'} up`;
    const company = companyOf(this.session).length;
    const along = company === 0 ? '' : `, ${company} with you`;
    return html`<button
      class="number"
      aria-expanded=${unfolded}
      aria-controls="all"
      ?disabled=${people.length === 0}
      @click=${() => {
        this.unfolded = !unfolded;
      }}
    >Here now: ${people.length + 1}${raised}${along}</button>`;
  }

  protected override render() {
    const { people } = this;
    const each = (some: readonly Other[], draw: (other: Other) => unknown) =>
      repeat(some, ({ person }) => person, draw);
    return html`<section
      aria-label="Here now"
      @keydown=${(event: KeyboardEvent) => {
        if (event.key === 'Escape') this.unfolded = false;
      }}
    >
      ${this.renderNumber(people)}
      <ul class="line">
        ${this.renderMine()}
        ${each(people.slice(0, IN_LINE), (other) => html`<li class="other">${this.renderGo(other)}</li>`)}
      </ul>
      ${people.length === 0 ? nothing : this.renderDeeds()}
      ${
        this.unfolded && people.length > 0
          ? html`<ul id="all" class="all" aria-label="Everybody here now" tabindex="0">
              ${each(people, (other) => this.renderRow(other))}
            </ul>`
          : nothing
      }
    </section>`;
  }
}

/** Listens for presses anywhere on the page; gives what stops it. */
function onPress(listener: (event: PointerEvent) => void): () => void {
  window.addEventListener('pointerdown', listener);
  return () => window.removeEventListener('pointerdown', listener);
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-here-now': HereNow;
  }
}
