import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { type Person, readPeople, recordMap } from '../../core/document/index.ts';
import { ROLES, type Role } from '../../core/protocol/index.ts';
import { Attempt } from '../controllers/attempt.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import '../record/token-list.ts';
import type { TokenList } from '../record/token-list.ts';
import { offersSignIn, removePerson, renameMe, type Session, signOut } from '../session/index.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import './invites.ts';
import './points.ts';

const I_MAY: Readonly<Record<Role, string>> = {
  guest: 'You are a guest here: you look and read.',
  reviewer: 'You are a reviewer here: you write notes.',
  animator: 'You are an animator here: you change poses and write notes.',
  lead: 'You are a lead here: you change poses, write notes and invite people.',
};

/** Everybody of the review, one's own name, the way out, and for the lead invite links and earlier states. */
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
      .row {
        display: flex;
        flex-wrap: wrap;
        gap: 0.4rem 0.9rem;
        align-items: baseline;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private open = false;
  @state() private signsIn = false;
  @state() private leaving = false;
  private readonly attempt = new Attempt(this);
  @query('dialog') private dialog!: HTMLDialogElement;
  @query('cl-token-list') private tokens!: TokenList;

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
    this.tokens.load();
    this.open = true;
    this.leaving = false;
    void this.attempt.run(async () => {
      this.signsIn = await offersSignIn();
    });
  }

  private handleRename(event: SubmitEvent): void {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const name = String(new FormData(form).get('name') ?? '').trim();
    if (name === '') {
      this.attempt.say('A name needs at least one letter.');
      return;
    }
    void this.attempt.run(async () => {
      await renameMe(this.session.review, name);
      this.session.say(`You are ${name} now.`);
    });
  }

  private handleTakeOut({ id, name }: Person): void {
    void this.attempt.run(async () => {
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

  private handleSignOut(): void {
    void this.attempt.run(async () => {
      await signOut();
      location.assign('/');
    });
  }

  private renderDoor() {
    return html`<h3>Coming and going</h3>
      <p class="pencil">
        ${
          this.signsIn
            ? 'Sign in, and this place in the review is found again from any browser.'
            : 'This browser remembers who you are; another one asks for an invite link.'
        }
      </p>
      <p class="row">
        ${this.signsIn ? html`<a href="/sign-in">Sign in</a>` : nothing}
        ${
          this.leaving
            ? html`<span>Out in all your browsers${this.signsIn ? '' : ', and back only by a link'}?</span>
                <button class="main" @click=${this.handleSignOut}>Sign out</button>
                <button
                  @click=${() => {
                    this.leaving = false;
                  }}
                >Stay</button>`
            : html`<button
                @click=${() => {
                  this.leaving = true;
                }}
              >Sign out everywhere</button>`
        }
      </p>`;
  }

  protected override render() {
    const { me } = this.session;
    const here = new Set(this.session.others().map(({ person }) => person)).add(me.id);
    const people = [...readPeople(this.session.documents.record).values()].sort(
      (a, b) => ROLES.indexOf(b.role) - ROLES.indexOf(a.role) || a.name.localeCompare(b.name),
    );
    return html`<dialog
      aria-labelledby="title"
      @close=${() => {
        this.open = false;
      }}
    >
      <div class="head">
        <h2 id="title">People</h2>
        <button @click=${() => this.dialog.close()}>Close</button>
      </div>
      ${this.attempt.render()}
      <ul class="people">
        ${people.map((person) => this.renderPerson(person, here.has(person.id)))}
      </ul>
      <form @submit=${this.handleRename}>
        <label>Your name <input name="name" .value=${me.name} maxlength="40" autocomplete="name" /></label>
        <button type="submit">Rename yourself</button>
      </form>
      <p class="pencil">${I_MAY[me.role]}</p>
      ${
        me.role === 'lead' && this.open
          ? html`<cl-invites .session=${this.session}></cl-invites>
              <cl-points .session=${this.session}></cl-points>`
          : nothing
      }
      <h3>Your tokens</h3>
      <cl-token-list .session=${this.session}></cl-token-list>
      ${this.renderDoor()}
    </dialog>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-people-dialog': PeopleDialog;
  }
}
