import { html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { MAX_WORDS, type Person } from '../../core/document/index.ts';
import { personMark } from '../styles/person-mark.ts';
import { shared } from '../styles/shared.ts';
import { mentionFieldStyles } from './notes.styles.ts';

/** Names offered at once. */
const OFFERED = 6;

/** `@` at the start of a word, and what has been typed of a name since. */
const BEGUN = /(^|[^\p{L}\p{N}_])@([\p{L}\p{N}_ ]{0,40})$/u;

/**
 * A field for a few sentences in which `@` offers the people of the review: arrow keys and Enter or
 * Tab pick one, Escape closes the list. Fires `cl-send` on Ctrl or Command with Enter and `cl-leave`
 * on Escape where no list is open.
 */
@customElement('cl-mention-field')
export class MentionField extends LitElement {
  static override styles = [shared, mentionFieldStyles];

  @property({ attribute: false }) people: readonly Person[] = [];
  @property() label = '';
  @property() placeholder = '';
  @property({ type: Number }) rows = 3;

  @query('textarea') private field!: HTMLTextAreaElement;
  @state() private offered: readonly Person[] = [];
  @state() private at = 0;

  /** The text as it stands, trimmed. */
  get value(): string {
    return this.field.value.trim();
  }

  set value(text: string) {
    this.field.value = text;
    this.offered = [];
  }

  override focus(): void {
    this.field.focus();
  }

  private begun(): string | null {
    const { value, selectionStart } = this.field;
    return BEGUN.exec(value.slice(0, selectionStart))?.[2]?.toLowerCase() ?? null;
  }

  private offer(): void {
    const begun = this.begun();
    const fits = ({ name }: Person): boolean =>
      begun !== null &&
      name
        .toLowerCase()
        .split(' ')
        .some((_, word, words) => words.slice(word).join(' ').startsWith(begun));
    this.offered = this.people.filter(fits).slice(0, OFFERED);
    this.at = 0;
  }

  private pick(person: Person): void {
    const { field } = this;
    const begun = this.begun() ?? '';
    const end = field.selectionStart;
    field.setRangeText(`${person.name} `, end - begun.length, end, 'end');
    this.offered = [];
    field.focus();
  }

  private handleKey(event: KeyboardEvent): void {
    const send = event.key === 'Enter' && (event.ctrlKey || event.metaKey);
    const person = this.offered[this.at];
    if (send) this.tell('cl-send');
    else if (person === undefined) {
      if (event.key === 'Escape') this.tell('cl-leave');
      return;
    } else if (event.key === 'ArrowDown') this.at = (this.at + 1) % this.offered.length;
    else if (event.key === 'ArrowUp') {
      this.at = (this.at + this.offered.length - 1) % this.offered.length;
    } else if (event.key === 'Enter' || event.key === 'Tab') this.pick(person);
    else if (event.key === 'Escape') this.offered = [];
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  private tell(type: 'cl-send' | 'cl-leave'): void {
    this.dispatchEvent(new Event(type));
  }

  private renderOffered() {
    const { offered, at } = this;
    if (offered.length === 0) return nothing;
    return html`<ul id="people" role="listbox" aria-label="People to speak to">
      ${offered.map(
        (person, index) => html`<li
          id="person-${index}" role="option" aria-selected=${index === at}
          @pointerdown=${(event: Event) => {
            // The field keeps the focus.
            event.preventDefault();
            this.pick(person);
          }}
        >${personMark(person.ink)} ${person.name} <span class="pencil">${person.role}</span></li>`,
      )}
    </ul>`;
  }

  protected override render() {
    const open = this.offered.length > 0;
    return html`<textarea
        aria-label=${this.label}
        rows=${this.rows}
        maxlength=${MAX_WORDS}
        placeholder=${this.placeholder}
        role="combobox"
        aria-autocomplete="list"
        aria-expanded=${open}
        aria-controls="people"
        aria-activedescendant=${open ? `person-${this.at}` : nothing}
        @input=${this.offer}
        @keydown=${this.handleKey}
        @blur=${() => {
          this.offered = [];
        }}
      ></textarea>
      ${this.renderOffered()}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-mention-field': MentionField;
  }
}
