import { css, html, LitElement, nothing } from 'lit';
import { customElement, state } from 'lit/decorators.js';
import { keyed } from 'lit/directives/keyed.js';
import { readTitle } from '../../core/document/index.ts';
import { faultWords } from '../controllers/fault-words.ts';
import { writesText } from '../parts/text-entry.ts';
import { ApiError, ReviewSession } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import '../together/along-bar.ts';
import './top-bar.ts';
import '../board/board-page.ts';
import '../notes/notes-page.ts';
import './shot-page.ts';
import { Faults } from './faults.ts';
import { followLinks, parseRoute, ROUTE_EVENT, type Route } from './route.ts';

type Door =
  | { readonly kind: 'opening' }
  | { readonly kind: 'open'; readonly session: ReviewSession }
  | { readonly kind: 'shut'; readonly reason: string; readonly again: boolean };

/** The page: opens the review that the address names, and shows its board or one of its shots. */
@customElement('cl-app')
export class App extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      .page.shot {
        display: flex;
        flex-direction: column;
        min-height: 100dvh;
      }
      .page.shot main {
        flex: 1;
        min-height: 0;
        display: flex;
        flex-direction: column;
      }
      .page.shot cl-shot-page {
        flex: 1;
        min-height: 0;
      }
      /* With room enough the bench takes exactly what the window leaves, and only the notes scroll. */
      @media (min-width: 64.01rem) and (min-height: 44rem) {
        .page.shot {
          height: 100dvh;
        }
      }
      main:focus-visible {
        outline-offset: -3px;
      }
      .door {
        max-width: 38rem;
        margin: 18vh auto 0;
        padding: 1.5rem;
        border-top: 2px solid var(--ink);
        display: grid;
        gap: 1rem;
        justify-items: start;
      }
      .fault {
        padding: 0.5rem 1.25rem;
        border-bottom: 2px solid var(--falls);
        display: flex;
        flex-wrap: wrap;
        gap: 0.5rem 1rem;
        align-items: baseline;
      }
      .messages {
        position: fixed;
        inset: auto 0 0;
        z-index: 20;
        display: grid;
        justify-items: center;
        pointer-events: none;
      }
      .messages p {
        background: var(--ink);
        color: var(--paper);
        padding: 0.5rem 1rem;
        max-width: min(46rem, 100vw - 2rem);
        margin-bottom: 1rem;
        pointer-events: auto;
      }
      .skip {
        position: absolute;
        left: -100vw;
      }
      .skip:focus {
        left: 0.5rem;
        top: 0.5rem;
        z-index: 30;
        background: var(--sheet);
        padding: 0.5rem;
      }
    `,
  ];

  @state() private route: Route = parseRoute(new URL(location.href));
  @state() private door: Door = { kind: 'opening' };
  @state() private message = '';
  private readonly faults = new Faults(this);
  private stopLinks: (() => void) | undefined;
  private messageTimer: ReturnType<typeof setTimeout> | undefined;

  override connectedCallback(): void {
    super.connectedCallback();
    this.stopLinks = followLinks();
    window.addEventListener(ROUTE_EVENT, this.handleRoute);
    window.addEventListener('keydown', this.handleKey);
    void this.openReview();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.stopLinks?.();
    window.removeEventListener(ROUTE_EVENT, this.handleRoute);
    window.removeEventListener('keydown', this.handleKey);
    if (this.door.kind === 'open') this.door.session.close();
  }

  private readonly handleRoute = (): void => {
    const route = parseRoute(new URL(location.href));
    const other = route.page === 'door' || this.review() !== route.review;
    const moved = route.page !== this.route.page;
    this.route = route;
    if (other) void this.openReview();
    if (moved) void this.updateComplete.then(() => window.scrollTo(0, 0));
  };

  private readonly handleKey = (event: KeyboardEvent): void => {
    if (this.door.kind !== 'open' || !(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase();
    // In a field the browser's own undo of typing is meant.
    if (writesText(event) || (key !== 'z' && key !== 'y')) return;
    event.preventDefault();
    if (key === 'y' || event.shiftKey) this.door.session.redo();
    else this.door.session.undo();
  };

  private review(): string | null {
    return this.door.kind === 'open' ? this.door.session.review : null;
  }

  private async openReview(note = ''): Promise<void> {
    if (this.door.kind === 'open') this.door.session.close();
    const { route } = this;
    if (route.page === 'door') {
      this.door = {
        kind: 'shut',
        reason: 'To come in, open the invite link that you were given for a review.',
        again: false,
      };
      return;
    }
    this.door = { kind: 'opening' };
    try {
      const session = await ReviewSession.open(route.review);
      session.on('message', (message) => this.say(message));
      session.on('stale', ({ reason, joinAgain }) => {
        if (joinAgain) this.shut(session, reason);
        else void this.openReview(reason);
      });
      this.door = { kind: 'open', session };
      if (note !== '') this.say(note);
      document.title = `${readTitle(session.documents.scenes)} · Counterlean`;
    } catch (error) {
      const reason = faultWords(error);
      this.door = {
        kind: 'shut',
        reason,
        again: !(error instanceof ApiError && error.status === 401),
      };
    }
  }

  private shut(session: ReviewSession, reason: string): void {
    session.close();
    this.door = { kind: 'shut', reason, again: false };
  }

  private say(message: string): void {
    this.message = message;
    clearTimeout(this.messageTimer);
    // Long sentences stay longer: about 15 characters a second, 4 s at the least.
    this.messageTimer = setTimeout(
      () => {
        this.message = '';
      },
      Math.max(4_000, message.length * 66),
    );
  }

  private renderDoor() {
    const { door } = this;
    if (door.kind === 'opening') {
      return html`<main class="door"><p>Opening the review\u2026</p></main>`;
    }
    if (door.kind === 'open') return nothing;
    return html`<main class="door">
      <h1>Counterlean</h1>
      <p>${door.reason}</p>
      ${
        door.again
          ? html`<button class="main" @click=${() => void this.openReview()}>Try again</button>`
          : nothing
      }
    </main>`;
  }

  private renderPage(session: ReviewSession) {
    const { route } = this;
    return html`<div class="page ${route.page}">
      <a class="skip" href="#main" @click=${this.handleSkip}>Skip to the drawing</a>
      <cl-top-bar .session=${session} .shot=${route.page === 'shot' ? route.shot : null} .board=${route.page === 'board'}>
        <cl-along-bar .session=${session} .route=${route}></cl-along-bar>
      </cl-top-bar>
      <main id="main" tabindex="-1">
        ${
          route.page === 'shot'
            ? html`<cl-shot-page
                .session=${session}
                .shotId=${route.shot}
                .draftId=${route.draft}
                .frameNumber=${route.frame}
                .noteId=${route.note}
              ></cl-shot-page>`
            : route.page === 'notes'
              ? html`<cl-notes-page .session=${session} .query=${route.query}></cl-notes-page>`
              : html`<cl-board-page .session=${session}></cl-board-page>`
        }
      </main>
    </div>`;
  }

  private handleSkip(event: Event): void {
    event.preventDefault();
    this.renderRoot.querySelector('main')?.focus();
  }

  protected override render() {
    return html`
      ${
        this.faults.current === null
          ? nothing
          : html`<div class="fault" role="alert">
              <span>
                Something in this page went wrong. What you did is kept here and on the server; load
                the page again to go on. <span class="pencil">${this.faults.current}</span>
              </span>
              <button @click=${() => location.reload()}>Load again</button>
              <button @click=${() => this.faults.dismiss()}>Hide this</button>
            </div>`
      }
      ${
        this.door.kind === 'open'
          ? keyed(this.door.session, this.renderPage(this.door.session))
          : this.renderDoor()
      }
      <div class="messages" role="status" aria-live="polite">
        ${this.message === '' ? nothing : html`<p>${this.message}</p>`}
      </div>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-app': App;
  }
}
