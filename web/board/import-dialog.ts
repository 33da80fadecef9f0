import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { TABLES, type TableName, tableInfo } from '../../core/body/index.ts';
import { readSequences, readShots } from '../../core/document/index.ts';
import { type ClipRead, readClip, readSceneJson } from '../../core/formats/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import type { Session } from '../session/index.ts';
import { asTable } from '../session/tables.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { shared } from '../styles/shared.ts';
import { addSequence, addShot, nextCode } from './deeds.ts';

const DEFAULT_STATURE = 1.7;
const DEFAULT_MASS = 68;
// A clip of 10 minutes at 120 frames a second with 60 joints is about this long.
const MAX_BYTES = 20 * 1024 * 1024;

type Incoming =
  | { readonly kind: 'none' }
  | { readonly kind: 'bad'; readonly name: string; readonly message: string }
  | { readonly kind: 'scene'; readonly name: string; readonly scene: Scene }
  | {
      readonly kind: 'clip';
      readonly name: string;
      readonly text: string;
      readonly bytes: Uint8Array;
    };

/** Takes a .bvh clip or a scene file and makes a shot of it, after saying how it was read. */
@customElement('cl-import-dialog')
export class ImportDialog extends LitElement {
  static override styles = [
    shared,
    dialogStyles,
    css`
      form {
        display: grid;
        gap: 0.8rem;
      }
      .fields {
        display: grid;
        grid-template-columns: repeat(auto-fit, minmax(9rem, 1fr));
        gap: 0.6rem 1rem;
      }
      label {
        display: grid;
        gap: 0.15rem;
        align-content: start;
      }
      input,
      select {
        width: 100%;
      }
      .report {
        display: grid;
        gap: 0.2rem;
        max-height: 14rem;
        overflow: auto;
        border-block: 1px solid var(--rule);
        padding-block: 0.5rem;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  @state() private incoming: Incoming = { kind: 'none' };
  @state() private stature = DEFAULT_STATURE;
  @state() private mass = DEFAULT_MASS;
  @state() private table: TableName = TABLES[0];
  @state() private sequence = '';
  @state() private code = '';
  @state() private shotTitle = '';
  @state() private trouble = '';
  @state() private busy = false;
  @query('dialog') private dialog!: HTMLDialogElement;

  /** Reads a file and asks what is missing; `sequence` is the row that it was dropped on. */
  async take(file: File, sequence: string | null): Promise<void> {
    const { scenes } = this.session.documents;
    const rows = readSequences(scenes);
    const row = rows.find(({ id }) => id === sequence) ?? rows[0];
    this.sequence = row?.id ?? '';
    this.code = row ? nextCode(readShots(scenes), row) : 'SHT-0010';
    this.shotTitle = file.name.replace(/\.[^.]*$/, '').replace(/[_-]+/g, ' ');
    this.trouble = '';
    this.busy = false;
    this.incoming = await readIncoming(file);
    await this.updateComplete;
    this.dialog.showModal();
  }

  private readonly handleSubmit = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    const { incoming } = this;
    this.trouble = '';
    try {
      if (incoming.kind === 'scene') this.addSceneShot(incoming.scene);
      else if (incoming.kind === 'clip') await this.addClipShot(incoming);
      this.dialog.close();
    } catch (error) {
      this.trouble = error instanceof Error ? error.message : String(error);
    } finally {
      this.busy = false;
    }
  };

  private targetSequence(): string {
    return this.sequence === '' ? addSequence(this.session, 'Brought in') : this.sequence;
  }

  private addSceneShot(scene: Scene): void {
    this.announceAdded(
      addShot(this.session, {
        sequence: this.targetSequence(),
        code: this.code,
        title: this.shotTitle,
        scene,
        draftTitle: 'as brought in',
      }),
    );
  }

  private async addClipShot(incoming: { name: string; bytes: Uint8Array }): Promise<void> {
    const read = this.readClip();
    if (read === null || !read.ok) return;
    this.busy = true;
    const file = await this.session.putFile(incoming.bytes);
    const { stature, mass, table } = this;
    this.announceAdded(
      addShot(this.session, {
        sequence: this.targetSequence(),
        code: this.code,
        title: this.shotTitle,
        rate: read.clip.rate,
        frames: [1, read.clip.frameCount],
        scene: { figures: [], loads: [], surfaces: [], grips: [] },
        clip: { file, name: incoming.name, stature, mass, table },
        draftTitle: 'as recorded',
      }),
    );
  }

  private announceAdded(shot: string): void {
    this.session.say(`${this.code} is on the board.`);
    this.dispatchEvent(
      new CustomEvent('cl-added', { detail: shot, bubbles: true, composed: true }),
    );
  }

  private readClip(): ClipRead | null {
    if (this.incoming.kind !== 'clip') return null;
    const { stature, mass, table } = this;
    try {
      return readClip(this.incoming.text, { stature, mass, table });
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error);
      return { ok: false, message, line: 1 };
    }
  }

  private numberFrom(event: Event, fallback: number): number {
    const value = Number((event.currentTarget as HTMLInputElement).value);
    return Number.isFinite(value) && value > 0 ? value : fallback;
  }

  private renderBody() {
    return html`<div class="fields">
      <label>
        Stature, metres
        <input
          type="number" name="stature" min="0.3" max="3" step="0.01" required
          .value=${String(this.stature)}
          @change=${(event: Event) => {
            this.stature = this.numberFrom(event, this.stature);
          }}
        />
      </label>
      <label>
        Mass, kilograms
        <input
          type="number" name="mass" min="1" max="500" step="0.5" required
          .value=${String(this.mass)}
          @change=${(event: Event) => {
            this.mass = this.numberFrom(event, this.mass);
          }}
        />
      </label>
      <label>
        Segment table
        <select
          name="table"
          @change=${(event: Event) => {
            this.table = asTable((event.currentTarget as HTMLSelectElement).value);
          }}
        >
          ${TABLES.map(
            (table) =>
              html`<option value=${table} .selected=${table === this.table}>${tableInfo(table).name}</option>`,
          )}
        </select>
      </label>
    </div>`;
  }

  private renderPlace() {
    const rows = readSequences(this.session.documents.scenes);
    return html`<div class="fields">
      <label>
        Sequence
        <select
          @change=${(event: Event) => {
            this.sequence = (event.currentTarget as HTMLSelectElement).value;
          }}
        >
          ${rows.map(({ id, title }) => html`<option value=${id} .selected=${id === this.sequence}>${title}</option>`)}
          ${rows.length === 0 ? html`<option value="">a new one</option>` : nothing}
        </select>
      </label>
      <label>
        Code
        <input
          name="code" required maxlength="64" .value=${this.code}
          @input=${(event: Event) => {
            this.code = (event.currentTarget as HTMLInputElement).value;
          }}
        />
      </label>
      <label>
        Title
        <input
          name="title" maxlength="120" .value=${this.shotTitle}
          @input=${(event: Event) => {
            this.shotTitle = (event.currentTarget as HTMLInputElement).value;
          }}
        />
      </label>
    </div>`;
  }

  private renderReport(read: ClipRead) {
    if (!read.ok) {
      return html`<p role="alert">This clip cannot be read. ${read.message} Nothing was changed.</p>`;
    }
    const { sentences } = read.clip.report;
    return html`<div class="report" tabindex="0" role="region" aria-label="How the clip was read">
      ${sentences.map((sentence) => html`<p>${sentence}</p>`)}
    </div>`;
  }

  private renderForm() {
    const { incoming } = this;
    if (incoming.kind === 'none') return nothing;
    if (incoming.kind === 'bad') {
      return html`<p role="alert">${incoming.message} Nothing was changed.</p>`;
    }
    const read = this.readClip();
    const good = read === null || read.ok;
    return html`<form @submit=${this.handleSubmit}>
      <p>
        ${
          incoming.kind === 'clip'
            ? 'The clip has no weight and no unit of its own: say whose it is.'
            : 'A scene file: its figures, loads and surfaces become the first draft of a shot.'
        }
      </p>
      ${incoming.kind === 'clip' ? this.renderBody() : nothing}
      ${this.renderPlace()}
      ${read === null ? nothing : this.renderReport(read)}
      ${this.trouble === '' ? nothing : html`<p role="alert">${this.trouble}</p>`}
      <p>
        <button class="main" type="submit" ?disabled=${!good || this.busy}>
          ${this.busy ? 'Storing the clip\u2026' : 'Make the shot'}
        </button>
      </p>
    </form>`;
  }

  protected override render() {
    const { incoming } = this;
    return html`<dialog aria-labelledby="title">
      <div class="head">
        <h2 id="title">${incoming.kind === 'none' ? 'Bring in a file' : `Bring in ${incoming.name}`}</h2>
        <button type="button" @click=${() => this.dialog.close()}>Close</button>
      </div>
      ${this.renderForm()}
    </dialog>`;
  }
}

async function readIncoming(file: File): Promise<Incoming> {
  const { name } = file;
  if (file.size > MAX_BYTES) {
    return { kind: 'bad', name, message: 'This file is larger than 20 MB.' };
  }
  const bytes = new Uint8Array(await file.arrayBuffer());
  const text = new TextDecoder().decode(bytes);
  if (/\.bvh$/i.test(name)) return { kind: 'clip', name, text, bytes };
  if (/\.json$/i.test(name)) {
    const read = readSceneJson(text);
    return read.ok
      ? { kind: 'scene', name, scene: read.scene }
      : { kind: 'bad', name, message: `This scene file cannot be read: ${read.message}.` };
  }
  return {
    kind: 'bad',
    name,
    message: 'The board takes .bvh clips and scene files (.json); this is neither.',
  };
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-import-dialog': ImportDialog;
  }
}
