import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { ROLES, type Role } from '../../core/protocol/index.ts';
import { Attempt } from '../controllers/attempt.ts';
import { withKept } from '../controllers/with-kept.ts';
import { copyField } from '../parts/copy-field.ts';
import {
  addInvite,
  type Invite,
  type InviteTerms,
  readInvites,
  removeInvite,
  type Session,
} from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';

const MAY: Readonly<Record<Role, string>> = {
  guest: 'looks and reads',
  reviewer: 'writes notes',
  animator: 'changes poses and writes notes',
  lead: 'changes poses, writes notes and invites people',
};

/** How long a link works, in words. Null: until it is ended. */
const SPANS: readonly (readonly [string, number | null])[] = [
  ['for a day', 1],
  ['for a week', 7],
  ['for 30 days', 30],
  ['for a year', 365],
  ['until it is ended', null],
];

/** The invite links of a review with what each is good for; for the lead. */
@customElement('cl-invites')
export class Invites extends LitElement {
  static override styles = [
    shared,
    css`
      :host {
        display: block;
      }
      h3 {
        font-size: 1rem;
        margin-top: 1.1rem;
        padding-top: 0.7rem;
        border-top: 1px solid var(--rule);
      }
      li {
        padding-block: 0.5rem;
        border-bottom: 1px solid var(--rule);
        display: grid;
        gap: 0.25rem;
      }
      .row,
      form {
        display: flex;
        flex-wrap: wrap;
        gap: 0.4rem 0.9rem;
        align-items: end;
      }
      .row {
        align-items: baseline;
      }
      form {
        margin-top: 0.8rem;
      }
      label {
        display: grid;
        gap: 0.15rem;
      }
      li input {
        width: 100%;
      }
      form input[type='number'] {
        width: 6rem;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private invites: readonly Invite[] = [];
  private readonly attempt = new Attempt(this);

  override connectedCallback(): void {
    super.connectedCallback();
    this.invites = [];
    void this.attempt.run(async () => {
      const kept = (await readInvites(this.session.review)).reverse();
      this.invites = withKept(this.invites, kept);
    });
  }

  private handleMake(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const fields = new FormData(form);
    const text = (name: string): string => String(fields.get(name) ?? '').trim();
    const role = ROLES.find((known) => known === text('role')) ?? 'guest';
    const terms: InviteTerms = {
      role,
      days: text('days') === '' ? null : Number(text('days')),
      maxUses: text('uses') === '' ? null : Number(text('uses')),
      passphrase: text('passphrase') === '' ? null : text('passphrase'),
    };
    void this.attempt.run(async () => {
      const invite = await addInvite(this.session.review, terms);
      this.invites = [invite, ...this.invites];
      form.reset();
      this.session.say(`A link for the role ${role} is made. Its address is shown once.`);
    });
  }

  private handleCopy({ link, role }: Invite): void {
    if (link === null) return;
    void this.attempt.run(async () => {
      await navigator.clipboard.writeText(link);
      this.session.say(`The link for the role ${role} is copied.`);
    });
  }

  private handleEnd(invite: Invite, people: 'stay' | 'out'): void {
    void this.attempt.run(async () => {
      await removeInvite(this.session.review, invite.id, people);
      this.invites = this.invites.filter(({ id }) => id !== invite.id);
      this.session.say(
        people === 'stay'
          ? 'That link lets nobody in any more. Who joined with it stays.'
          : 'That link lets nobody in any more, and who joined with it is out. What they wrote stays.',
      );
    });
  }

  private renderInvite(invite: Invite) {
    const { role, link, uses } = invite;
    return html`<li>
      <span>
        <strong>${role}</strong>
        <span class="pencil">${MAY[role]}; ${termsOf(invite)}</span>
      </span>
      ${link === null ? nothing : copyField(link, `Link for the role ${role}`)}
      <span class="row">
        ${
          link === null
            ? html`<span class="pencil">sent before; its address is not shown twice</span>`
            : html`<button @click=${() => this.handleCopy(invite)}>Copy the link</button>`
        }
        <button @click=${() => this.handleEnd(invite, 'stay')}>
          End this link<span class="hidden-text"> for the role ${role}</span>
        </button>
        ${
          uses === 0
            ? nothing
            : html`<button @click=${() => this.handleEnd(invite, 'out')}>
                End it and send out who came by it
              </button>`
        }
      </span>
    </li>`;
  }

  protected override render() {
    return html`
      <h3>Invite links</h3>
      <p class="pencil">Whoever opens a link joins with its role. Send it to people you mean to have here.</p>
      ${this.attempt.render()}
      <ul>${this.invites.map((invite) => this.renderInvite(invite))}</ul>
      <form @submit=${this.handleMake} aria-label="A new link">
        <label>
          Role
          <select name="role">
            ${ROLES.map((role) => html`<option value=${role} ?selected=${role === 'reviewer'}>${role}</option>`)}
          </select>
        </label>
        <label>
          Works
          <select name="days">
            ${SPANS.map(([word, days]) => html`<option value=${days ?? ''} ?selected=${days === 30}>${word}</option>`)}
          </select>
        </label>
        <label>
          For at most
          <input name="uses" type="number" min="1" max="500" placeholder="any" /><span class="hidden-text"> people</span>
        </label>
        <label>
          Passphrase, if any
          <input name="passphrase" type="text" minlength="8" maxlength="200" autocomplete="off" placeholder="8 letters or more" />
        </label>
        <button class="main" type="submit">Make the link</button>
      </form>
      <p class="pencil">Tell a passphrase another way than the link.</p>
    `;
  }
}

/** What a link is good for, in words. */
function termsOf({ createdAt, expiresAt, maxUses, uses, hasPassphrase }: Invite): string {
  const now = new Date();
  const came = uses === 1 ? '1 has come' : `${uses} have come`;
  return [
    `made ${sayWhen(createdAt, now)}`,
    expiresAt === null ? 'until it is ended' : `until ${sayDay(expiresAt)}`,
    maxUses === null ? came : `${came} of ${maxUses}`,
    ...(hasPassphrase ? ['with a passphrase'] : []),
  ].join('; ');
}

/** The day on which a link ends, and the time of that day. */
const sayDay = (iso: string): string =>
  new Date(iso).toLocaleString(undefined, { dateStyle: 'long', timeStyle: 'short' });

declare global {
  interface HTMLElementTagNameMap {
    'cl-invites': Invites;
  }
}
