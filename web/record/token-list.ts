import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { ROLES } from '../../core/protocol/index.ts';
import { Attempt } from '../controllers/attempt.ts';
import { withKept } from '../controllers/with-kept.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { dayWord } from '../styles/when.ts';
import { addToken, dropToken, readTokens, type Token } from './api.ts';
import { listStyles } from './list.styles.ts';
import { onceTold } from './once-told.ts';

/** One's own personal tokens: what lets programs of one's own in. */
@customElement('cl-token-list')
export class TokenList extends LitElement {
  static override styles = [shared, listStyles];

  @property({ attribute: false }) session!: Session;
  @state() private tokens: readonly Token[] = [];
  private readonly attempt = new Attempt(this);

  /** Reads the list again; to be called when it comes into sight. */
  load(): void {
    this.tokens = [];
    void this.attempt.run(async () => {
      const kept = await readTokens(this.session.review);
      this.tokens = withKept(this.tokens, kept);
    });
  }

  private handleAdd(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const fields = new FormData(form);
    const label = String(fields.get('label') ?? '').trim();
    const role = ROLES.find((known) => known === fields.get('role')) ?? 'guest';
    void this.attempt.run(async () => {
      const token = await addToken(this.session.review, { label, role, days: 90 });
      this.tokens = [token, ...this.tokens];
      form.reset();
    });
  }

  private handleDrop({ id, label }: Token): void {
    void this.attempt.run(async () => {
      await dropToken(this.session.review, id);
      this.tokens = this.tokens.filter((token) => token.id !== id);
      this.session.say(`The token ${label} opens nothing any more.`);
    });
  }

  private renderToken(token: Token) {
    const { expiresAt } = token;
    const end = expiresAt === null ? 'without end' : `until ${dayWord(expiresAt.slice(0, 10))}`;
    return html`<li>
      <span class="row">
        <strong>${token.label}</strong>
        <span class="pencil">${token.role}, ${end}; ${token.usedAt === null ? 'not used yet' : `used on ${dayWord(token.usedAt)}`}</span>
        <button @click=${() => this.handleDrop(token)}>End it<span class="hidden-text">: ${token.label}</span></button>
      </span>
      ${token.secret === null ? nothing : onceTold(token.secret, `Token ${token.label}`)}
    </li>`;
  }

  protected override render() {
    const mine = ROLES.slice(0, ROLES.indexOf(this.session.me.role) + 1);
    return html`
      <p class="pencil">
        A token lets a program of yours read and write this review over HTTP, as you, with the role
        you give it. What there is to ask stands in <a href="/api/openapi.json" target="_blank">the description of the routes</a>.
      </p>
      ${this.attempt.render()}
      ${this.tokens.length === 0 ? nothing : html`<ul>${this.tokens.map((token) => this.renderToken(token))}</ul>`}
      <form @submit=${this.handleAdd}>
        <label class="wide">What it is for <input name="label" maxlength="60" required autocomplete="off" /></label>
        <label>
          Role
          <select name="role">
            ${mine.map((role) => html`<option value=${role}>${role}</option>`)}
          </select>
        </label>
        <button type="submit">Make a token for 90 days</button>
      </form>
    `;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-token-list': TokenList;
  }
}
