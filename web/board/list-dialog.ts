import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { bringList, planList, readPeople, SHOT_STATES } from '../../core/document/index.ts';
import {
  COLUMN_WORDS,
  mapColumns,
  readShotList,
  SHOT_COLUMNS,
  type ShotColumn,
  type ShotList,
} from '../../core/formats/index.ts';
import type { Session } from '../session/index.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { shared } from '../styles/shared.ts';
import { readCsv } from './read-csv.ts';

const PROBLEMS_SHOWN = 12;

/** Takes a shot list (CSV): shows what each column is taken for and what comes of it, then brings it in. */
@customElement('cl-list-dialog')
export class ListDialog extends LitElement {
  static override styles = [
    shared,
    dialogStyles,
    css`
      .table {
        overflow-x: auto;
        border-block: 1px solid var(--rule);
        padding-block: 0.5rem;
      }
      table {
        border-collapse: collapse;
      }
      th,
      td {
        text-align: start;
        font-weight: 400;
        padding: 0.15rem 1rem 0.15rem 0;
        white-space: nowrap;
        max-width: 14rem;
        overflow: hidden;
        text-overflow: ellipsis;
      }
      .say {
        margin-block: 0.6rem;
        display: grid;
        gap: 0.3rem;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private name = '';
  @state() private table: readonly (readonly string[])[] = [];
  @state() private columns: readonly (ShotColumn | null)[] = [];
  @state() private trouble = '';
  @query('dialog') private dialog!: HTMLDialogElement;

  /** Reads a list and shows what it says. */
  async take(file: File): Promise<void> {
    const read = readCsv(new Uint8Array(await file.arrayBuffer()));
    this.name = file.name;
    this.trouble = read.ok ? '' : read.message;
    this.table = read.ok ? read.table : [];
    this.columns = mapColumns(this.table[0] ?? []);
    await this.updateComplete;
    this.dialog.showModal();
  }

  private read(): ShotList {
    const isLead = this.session.me.role === 'lead';
    const states = SHOT_STATES.filter((state) => state !== 'signed-off' || isLead);
    return readShotList(this.table, states, this.columns);
  }

  private handleColumn(event: Event, index: number): void {
    const { value } = event.currentTarget as HTMLSelectElement;
    const column = SHOT_COLUMNS.find((known) => known === value) ?? null;
    // What another column was taken for goes to this one.
    this.columns = this.columns.map((known, at) =>
      at === index ? column : known === column ? null : known,
    );
  }

  private handleBring(): void {
    const { session } = this;
    const { shots } = this.read();
    const settings = {
      people: readPeople(session.documents.record),
      otherwise: 'Brought in',
      newId: () => crypto.randomUUID(),
    };
    session.edit('scenes', `brought in the list ${this.name}`, (doc, origin) => {
      const { added, changed } = bringList(doc, shots, settings, origin);
      session.say(`${sayPlan(added.length, changed.length)} Undo takes all of it back.`);
    });
    this.dialog.close();
  }

  private renderColumns() {
    const [header = [], ...rows] = this.table;
    const sample = rows.slice(0, 3);
    return html`<div class="table" tabindex="0" role="region" aria-label="Columns of the list">
      <table>
        <tr>
          <th scope="col" class="pencil">Column</th>
          <th scope="col" class="pencil">Taken for</th>
          ${sample.map((_, index) => html`<th scope="col" class="pencil">Row ${index + 2}</th>`)}
        </tr>
        ${header.map(
          (cell, index) => html`<tr>
            <th scope="row">${cell}</th>
            <td>
              <select
                aria-label="What the column ${cell} is"
                @change=${(event: Event) => this.handleColumn(event, index)}
              >
                <option value="" .selected=${this.columns[index] == null}>left out</option>
                ${SHOT_COLUMNS.map(
                  (column) =>
                    html`<option value=${column} .selected=${this.columns[index] === column}>${COLUMN_WORDS[column]}</option>`,
                )}
              </select>
            </td>
            ${sample.map((row) => html`<td>${row[index] ?? ''}</td>`)}
          </tr>`,
        )}
      </table>
    </div>`;
  }

  private renderOutcome() {
    const { shots, problems } = this.read();
    if (problems.length > 0) {
      const more = problems.length - PROBLEMS_SHOWN;
      return html`<div class="say" role="alert">
        <p>Nothing is brought in until this is mended:</p>
        <ul>
          ${problems.slice(0, PROBLEMS_SHOWN).map(({ row, message }) => html`<li>${row === null ? '' : `Row ${row}: `}${message}</li>`)}
          ${more > 0 ? html`<li>and ${more} more</li>` : nothing}
        </ul>
      </div>`;
    }
    const { added, changed } = planList(this.session.documents.scenes, shots);
    const isLead = this.session.me.role === 'lead';
    const kept = changed.filter(
      ({ shot, listed }) => !isLead && shot.state === 'signed-off' && listed.state !== undefined,
    );
    if (kept.length > 0) {
      const codes = kept.map(({ shot }) => shot.code).join(', ');
      return html`<p class="say" role="alert">
        Signed off, which a lead takes back: ${codes}. Take the state out of these rows.
      </p>`;
    }
    return html`<div class="say">
      <p>${sayPlan(added.length, changed.length)}</p>
      <p><button class="main" @click=${this.handleBring}>Bring it onto the board</button></p>
    </div>`;
  }

  protected override render() {
    return html`<dialog aria-labelledby="title">
      <div class="head">
        <h2 id="title">Bring in ${this.name}</h2>
        <button type="button" @click=${() => this.dialog.close()}>Close</button>
      </div>
      ${
        this.trouble === ''
          ? html`${this.renderColumns()} ${this.table.length === 0 ? nothing : this.renderOutcome()}`
          : html`<p role="alert">${this.trouble} Nothing was changed.</p>`
      }
    </dialog>`;
  }
}

function sayPlan(added: number, changed: number): string {
  const shots = (count: number): string => (count === 1 ? '1 shot' : `${count} shots`);
  if (changed === 0) return `${shots(added)} ${added === 1 ? 'is' : 'are'} new.`;
  if (added === 0) return `${shots(changed)} of the board ${changed === 1 ? 'changes' : 'change'}.`;
  return `${shots(added)} new, ${shots(changed)} of the board changed.`;
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-list-dialog': ListDialog;
  }
}
