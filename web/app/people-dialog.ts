import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { type Person, readPeople, recordMap } from '../../core/document/index.ts';
import { ROLES, type Role } from '../../core/protocol/index.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import {
  addInvite,
  type Invite,
  readInvites,
  removeInvite,
  removePerson,
  renameMe,
  type Session,
} from '../session/index.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { sayWhen } from '../styles/when.ts';

const MAY: Readonly<Record<Role, string>> = {
  guest: 'looks and reads',
  reviewer: 'writes notes',
  animator: 'changes poses and writes notes',
  lead: 'changes poses, writes notes and invites people',
};

const I_MAY: Readonly<Record<Role, string>> = {
  guest: 'You are a guest here: you look and read.',
  reviewer: 'You are a reviewer here: you write notes.',
  animator: 'You are an animator here: you change poses and write notes.',
  lead: 'You are a lead here: you change poses, write notes and invite people.',
};

/** Everybody of the review, one's own name, and for the lead the invite links. */
@customElement('cl-people-dialog')
export class PeopleDialog extends LitElement {
  static override styles = [
    shared,
    dialogStyles,
    css`
      ul.people li {
        display: grid;
        grid-template-columns: auto 1fr auto;
        gap: 0.6rem;
        align-items: baseline;
        padding-block: 0.3rem;
        border-bottom: 1px solid var(--rule);
      }
      .person-mark {
        align-self: center;
      }
      form {
        display: flex;
        flex-wrap: wrap;
        gap: 0.4rem 0.75rem;
        align-items: end;
        margin-top: 0.6rem;
      }
      label {
        display: grid;
        gap: 0.2rem;
      }
      .invites li {
        padding-block: 0.5rem;
        border-bottom: 1px solid var(--rule);
        display: grid;
        gap: 0.25rem;
      }
      .invites .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.4rem 0.75rem;
        align-items: baseline;
      }
      .invites input {
        width: 100%;
      }
      .makers {
        display: flex;
        flex-wrap: wrap;
        gap: 0.3rem 1rem;
        margin-top: 0.6rem;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private invites: readonly Invite[] = [];
  @state() private trouble = '';
  @query('dialog') private dialog!: HTMLDialogElement;

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => [
      this.session.on('me', update),
      this.session.on('presence', update),
      observeMaps([recordMap(this.session.documents.record, 'people')], update),
    ]);
  }

  show(): void {
    this.dialog.showModal();
    if (this.session.me.role === 'lead') void this.attempt(() => this.loadInvites());
  }

  private async loadInvites(): Promise<void> {
    this.invites = await readInvites(this.session.review);
  }

  private async attempt(deed: () => Promise<void>): Promise<void> {
    this.trouble = '';
    try {
      await deed();
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
    }
  }

  private handleRename(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const name = String(new FormData(form).get('name') ?? '').trim();
    if (name === '') {
      this.trouble = 'A name needs at least one letter.';
      return;
    }
    void this.attempt(async () => {
      await renameMe(this.session.review, name);
      this.session.say(`You are ${name} now.`);
    });
  }

  private handleInvite(role: Role): void {
    void this.attempt(async () => {
      const invite = await addInvite(this.session.review, role);
      this.invites = [invite, ...this.invites];
    });
  }

  private handleCopy({ link, role }: Invite): void {
    if (link === null) return;
    void this.attempt(async () => {
      await navigator.clipboard.writeText(link);
      this.session.say(`The link for the role ${role} is copied.`);
    });
  }

  private handleRemove(invite: Invite): void {
    void this.attempt(async () => {
      await removeInvite(this.session.review, invite.id);
      this.invites = this.invites.filter(({ id }) => id !== invite.id);
      this.session.say('That link lets nobody in any more. Who joined with it stays.');
    });
  }

  private handleTakeOut({ id, name }: Person): void {
    void this.attempt(async () => {
      await removePerson(this.session.review, id);
      this.session.say(
        `${name} is out of the review. What they wrote stays; a link lets them in again.`,
      );
    });
  }

  private renderPerson(person: Person, isHere: boolean) {
    const { me } = this.session;
    const { id, name, ink, role } = person;
    return html`<li>
      ${personMark(ink)}
      <span>${name}${id === me.id ? html` <span class="pencil">you</span>` : nothing}</span>
      <span>
        <span class="pencil">${role}${isHere ? ', here now' : ''}</span>
        ${
          me.role === 'lead' && id !== me.id
            ? html`<button @click=${() => this.handleTakeOut(person)}>
                Take out<span class="hidden-text"> ${name}</span>
              </button>`
            : nothing
        }
      </span>
    </li>`;
  }

  private renderInvites() {
    return html`
      <h3>Invite links</h3>
      <p class="pencil">Whoever opens a link joins with its role. Send it to people you mean to have here.</p>
      <ul class="invites">
        ${this.invites.map(
          (invite) => html`<li>
            <span>
              <strong>${invite.role}</strong>
              <span class="pencil">${MAY[invite.role]}; made ${sayWhen(invite.createdAt, new Date())}</span>
            </span>
            ${
              invite.link === null
                ? nothing
                : html`<input
                    readonly
                    .value=${invite.link}
                    aria-label="Link for the role ${invite.role}"
                    @focus=${(event: Event) => (event.currentTarget as HTMLInputElement).select()}
                  />`
            }
            <span class="row">
              ${
                invite.link === null
                  ? html`<span class="pencil">sent before; its address is not shown twice</span>`
                  : html`<button @click=${() => this.handleCopy(invite)}>Copy the link</button>`
              }
              <button @click=${() => this.handleRemove(invite)}>
                End this link<span class="hidden-text"> for the role ${invite.role}</span>
              </button>
            </span>
          </li>`,
        )}
      </ul>
      <p class="makers">
        ${ROLES.map(
          (role) => html`<button @click=${() => this.handleInvite(role)}>New ${role} link</button>`,
        )}
      </p>
    `;
  }

  protected override render() {
    const { me } = this.session;
    const here = new Set(this.session.others().map(({ person }) => person)).add(me.id);
    const people = [...readPeople(this.session.documents.record).values()].sort(
      (a, b) => ROLES.indexOf(b.role) - ROLES.indexOf(a.role) || a.name.localeCompare(b.name),
    );
    return html`<dialog aria-labelledby="title">
      <div class="head">
        <h2 id="title">People</h2>
        <button @click=${() => this.dialog.close()}>Close</button>
      </div>
      ${this.trouble === '' ? nothing : html`<p role="alert">${this.trouble}</p>`}
      <ul class="people">
        ${people.map((person) => this.renderPerson(person, here.has(person.id)))}
      </ul>
      <form @submit=${this.handleRename}>
        <label>Your name <input name="name" .value=${me.name} maxlength="40" autocomplete="name" /></label>
        <button type="submit">Rename yourself</button>
      </form>
      <p class="pencil">${I_MAY[me.role]}</p>
      ${me.role === 'lead' ? this.renderInvites() : nothing}
    </dialog>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-people-dialog': PeopleDialog;
  }
}
