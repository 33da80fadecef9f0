import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { boardPath, go, type Route, shotPath } from '../app/route.ts';
import { Follow } from '../controllers/follow.ts';
import type { Other, Session } from '../session/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { callsAlong, goOnMyOwn, goWith, leaderFor } from './going.ts';

/**
 * A part of the top bar: says with whom I go and lets me go on my own; passes on a lead's call to come along; and goes to the
 * shot and draft of whom I go with. Whoever is writing is left where they are until they are done.
 */
@customElement('cl-along-bar')
export class AlongBar extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: contents;
      }
      p {
        display: flex;
        gap: 0.25rem 0.9rem;
        align-items: baseline;
        min-width: 0;
      }
      .whom {
        overflow: hidden;
        text-overflow: ellipsis;
      }
      button {
        flex: none;
        white-space: nowrap;
      }
      .person-mark {
        align-self: center;
        flex: none;
      }
      @media (max-width: 48rem) {
        .with {
          order: -1;
          flex: 1;
        }
      }
      /* Hangs over the page until it is answered: what is drawn below stays where it is. */
      .call {
        position: absolute;
        z-index: 17;
        top: 100%;
        left: 50%;
        translate: -50% 0;
        width: max-content;
        max-width: calc(100vw - 1rem);
        flex-wrap: wrap;
        white-space: normal;
        padding: 0.5rem 1.25rem;
        background: var(--sheet);
        border: 1px solid var(--ink);
        border-top-width: 2px;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) route!: Route;
  /** Calls that I have said no to. */
  @state() private declined: ReadonlySet<string> = new Set();
  /** The address that I was taken to last; any other one I went to by myself. */
  private taken: string | null = null;

  constructor() {
    super();
    const update = (): void => {
      this.requestUpdate();
      this.comeAlong();
    };
    const writingEnds = (): void => this.comeAlong();
    new Follow(this, () => {
      document.addEventListener('focusout', writingEnds);
      return [
        this.session.on('presence', update),
        this.session.on('me', update),
        () => document.removeEventListener('focusout', writingEnds),
      ];
    });
  }

  protected override willUpdate(changed: Map<PropertyKey, unknown>): void {
    if (!changed.has('route') || changed.get('route') === undefined) return;
    if (location.pathname + location.search === this.taken) return;
    goOnMyOwn(this.session);
  }

  private comeAlong(): void {
    const { session } = this;
    const leader = leaderFor(session);
    if (leader === null || isWriting()) return;
    const { showing } = session;
    if (leader.shot === showing.shot && (leader.shot === null || leader.draft === showing.draft)) {
      return;
    }
    const { review } = session;
    const path =
      leader.shot === null
        ? boardPath(review)
        : shotPath(review, leader.shot, { draft: leader.draft });
    if (path === this.taken && path === location.pathname + location.search) return;
    this.taken = path;
    go(path);
  }

  private renderCompany(person: string) {
    const { session } = this;
    const other = session.others().find((o) => o.person === person);
    return html`<p class="with">
      ${other ? personMark(other.ink) : nothing}
      <span class="whom" title=${other ? 'You see what they see until you move' : 'You see what they see once they are back'}>
        ${withWhom(other, leaderFor(session))}
      </span>
      <button @click=${() => goOnMyOwn(session)}>On my own</button>
    </p>`;
  }

  private renderCall() {
    const { session } = this;
    const call = callsAlong(session).findLast(({ id }) => !this.declined.has(id));
    if (call === undefined) return nothing;
    const { leader, id } = call;
    return html`<p class="call">
      ${personMark(leader.ink)}
      <span role="status">${leader.name} asks everyone along.</span>
      <button class="main" @click=${() => goWith(session, leader)}>Go with ${leader.name}</button>
      <button @click=${() => this.decline(id)}>Stay on my own</button>
    </p>`;
  }

  private decline(id: string): void {
    this.declined = new Set([...this.declined, id]);
  }

  protected override render() {
    const { showing } = this.session;
    return html`${showing.with === null ? nothing : this.renderCompany(showing.with)}${this.renderCall()}`;
  }
}

function withWhom(other: Other | undefined, leader: Other | null): string {
  if (other === undefined) return 'With somebody who is away';
  if (leader === null) return `With ${other.name}, who goes with you`;
  const through = leader.person === other.person ? '' : `, who goes with ${leader.name}`;
  return `With ${other.name}${through}`;
}

/** Whether there are words in the field that has the focus: nobody is taken away from them. */
function isWriting(): boolean {
  let element: Element | null = document.activeElement;
  while (element?.shadowRoot?.activeElement) element = element.shadowRoot.activeElement;
  if (element instanceof HTMLInputElement) {
    const isChoice = /^(range|checkbox|radio|button)$/.test(element.type);
    return !isChoice && !element.readOnly && element.value.trim() !== '';
  }
  return element instanceof HTMLTextAreaElement && element.value.trim() !== '';
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-along-bar': AlongBar;
  }
}
