import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { repeat } from 'lit/directives/repeat.js';
import { boardMaps, readShots } from '../../core/document/index.ts';
import { shotPath } from '../app/route.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Other, Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { companyOf, goOnMyOwn, goWith } from './going.ts';
import { hereNowStyles } from './here-now.styles.ts';

/** This many others stand in the line; with more, the rest folds away behind their number. */
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
      ];
    });
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
      (a, b) => rank(a) - rank(b) || (a.hand ?? 0) - (b.hand ?? 0) || a.name.localeCompare(b.name),
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

  private renderPerson(other: Other) {
    const { session } = this;
    const { person, name, shot, draft, hand, ink } = other;
    const isWith = session.showing.with === person;
    const code = shot === null ? undefined : this.codes.get(shot);
    const place = code === undefined ? 'on the board' : `on ${code}`;
    return html`<li>
      ${personMark(ink)}
      <button
        aria-pressed=${isWith}
        aria-label=${isWith ? `With ${name}, ${place}: go on my own` : `Go with ${name}, ${place}`}
        title=${isWith ? 'On my own' : 'See what they see until you move'}
        @click=${() => this.handleGo(other)}
      >${isWith ? 'with ' : ''}${name}</button>
      ${
        code === undefined || shot === null
          ? html`<span class="pencil">on the board</span>`
          : html`<span class="pencil">on <a href=${shotPath(session.review, shot, { draft })}>${code}</a></span>`
      }
      ${hand === null ? nothing : html`<span class="hand">hand up</span>`}
    </li>`;
  }

  private renderMine() {
    const { session } = this;
    const { me, showing } = session;
    const company = companyOf(session).length;
    const others = session.others().some(({ person }) => person !== me.id);
    return html`<li>
        ${personMark(me.ink)}
        <button @click=${() => this.dispatchEvent(new CustomEvent('cl-people'))}>${me.name}</button>
        <span class="pencil">you, ${me.role}${company > 0 ? `; ${company} with you` : ''}</span>
      </li>
      ${
        others
          ? html`<li>
              <button aria-pressed=${showing.hand !== null} @click=${this.toggleHand}>Hand up</button>
              ${
                me.role === 'lead'
                  ? html`<button aria-pressed=${showing.along !== null} @click=${this.toggleAlong}>
                      Ask everyone along
                    </button>`
                  : nothing
              }
            </li>`
          : nothing
      }`;
  }

  protected override render() {
    const { people, unfolded } = this;
    const list = (some: readonly Other[]) =>
      repeat(
        some,
        ({ person }) => person,
        (other) => this.renderPerson(other),
      );
    const rest = people.slice(IN_LINE);
    const hands = rest.filter(({ hand }) => hand !== null).length;
    return html`<section aria-label="Here now">
      <h2>Here now</h2>
      <ul>
        ${this.renderMine()} ${list(people.slice(0, IN_LINE))}
        ${
          rest.length === 0
            ? nothing
            : html`<li class="rest">
                <button
                  aria-expanded=${unfolded}
                  aria-controls="rest"
                  @click=${() => {
                    this.unfolded = !unfolded;
                  }}
                  @keydown=${(event: KeyboardEvent) => {
                    if (event.key === 'Escape') this.unfolded = false;
                  }}
                >and ${rest.length} more${hands > 0 ? `, ${hands} with a hand up` : ''}</button>
              </li>`
        }
      </ul>
      ${
        unfolded && rest.length > 0
          ? html`<ul id="rest" class="folded" aria-label="Also here now" tabindex="0">${list(rest)}</ul>`
          : nothing
      }
    </section>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-here-now': HereNow;
  }
}
