import { css, html, LitElement, nothing } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import { unsafeHTML } from 'lit/directives/unsafe-html.js';
import { assess } from '../../core/balance/index.ts';
import {
  type ClipLink,
  clipSettings,
  readDrafts,
  readSequences,
  readShots,
} from '../../core/document/index.ts';
import { drawCard } from '../../core/drawing/index.ts';
import { type MovingClip, readMoving } from '../../core/formats/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { faultWords } from '../controllers/fault-words.ts';
import '../motion/reading.ts';
import { PICTURE_CAUTION } from '../parts/caution.ts';
import type { Session } from '../session/index.ts';
import { dialogStyles } from '../styles/dialog.ts';
import { shared } from '../styles/shared.ts';
import { addSequence, addShot, nextCode } from './deeds.ts';
import { type Incoming, readIncoming } from './incoming.ts';

const EMPTY: Scene = { figures: [], loads: [], surfaces: [], grips: [] };

/** Takes a clip, keypoints or a scene file and makes a shot of it, after saying how it was read. */
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
      .sides {
        display: grid;
        grid-template-columns: minmax(0, 1fr) 13rem;
        gap: 1.2rem;
        border-block: 1px solid var(--rule);
        padding-block: 0.8rem;
      }
      .look {
        position: sticky;
        /* Below the head of the dialog. */
        top: 3rem;
        display: grid;
        gap: 0.3rem;
        align-self: start;
      }
      .look svg {
        width: 100%;
        height: auto;
      }
      dialog.wide {
        width: min(56rem, 100vw - 1.5rem);
      }
      @media (max-width: 48rem) {
        .sides {
          grid-template-columns: minmax(0, 1fr);
        }
        .look {
          position: static;
          max-width: 13rem;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  @state() private incoming: Incoming = { kind: 'none' };
  @state() private link: ClipLink | null = null;
  @state() private clip: MovingClip | null = null;
  @state() private message = '';
  @state() private frame = 0;
  @state() private sequence = '';
  @state() private code = '';
  @state() private shotTitle = '';
  @state() private trouble = '';
  @state() private busy = false;
  @query('dialog') private dialog!: HTMLDialogElement;

  /**
   * Reads files that came in together and asks what is missing.
   * @param sequence the row that they were dropped on
   */
  async take(files: readonly File[], sequence: string | null): Promise<void> {
    const { scenes } = this.session.documents;
    const rows = readSequences(scenes);
    const row = rows.find(({ id }) => id === sequence) ?? rows[0];
    const incoming = await readIncoming(files);
    this.sequence = row?.id ?? '';
    this.code = row ? nextCode(readShots(scenes), row) : 'SHT-0010';
    this.shotTitle =
      incoming.kind === 'none' ? '' : incoming.name.replace(/\.[^.]*$/, '').replace(/[_-]+/g, ' ');
    this.trouble = '';
    this.busy = false;
    this.frame = 0;
    this.incoming = incoming;
    this.link = null;
    this.clip = null;
    if (incoming.kind === 'clip') {
      await this.read(incoming.link);
      await this.recall();
    }
    await this.updateComplete;
    if (!this.dialog.open) this.dialog.showModal();
  }

  /** Reads the clip by a link; a later one that is asked for meanwhile goes before it. */
  private async read(link: ClipLink): Promise<void> {
    if (this.incoming.kind !== 'clip') return;
    this.link = link;
    const read = await readMoving(this.incoming.content, clipSettings(link));
    if (this.link !== link) return;
    this.clip = read.ok ? read.clip : null;
    this.message = read.ok ? '' : read.message;
    if (read.ok) this.frame = Math.min(this.frame, read.clip.frameCount - 1);
  }

  /** Takes up what was corrected by hand for the same skeleton earlier in this review. */
  private async recall(): Promise<void> {
    const { link, clip } = this;
    if (link === null || clip === null || clip.format === 'keypoints') return;
    const names = new Set(clip.joints);
    const earlier = readDrafts(this.session.documents.scenes).findLast((draft) => {
      const set = Object.values(draft.clip?.joints ?? {});
      return set.length > 0 && set.every((joint) => joint === null || names.has(joint));
    })?.clip;
    if (earlier) await this.read({ ...link, joints: earlier.joints });
  }

  private readonly handleSubmit = async (event: SubmitEvent): Promise<void> => {
    event.preventDefault();
    const { incoming } = this;
    this.trouble = '';
    try {
      if (incoming.kind === 'scene') this.addSceneShot(incoming.scene);
      else if (incoming.kind === 'clip') await this.addClipShot(incoming.content.bytes);
      this.dialog.close();
    } catch (error) {
      this.trouble = faultWords(error);
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

  private async addClipShot(bytes: Uint8Array): Promise<void> {
    const { clip, link } = this;
    if (clip === null || link === null) return;
    this.busy = true;
    const file = await this.session.putFile(bytes);
    this.announceAdded(
      addShot(this.session, {
        sequence: this.targetSequence(),
        code: this.code,
        title: this.shotTitle,
        rate: clip.rate,
        frames: [1, clip.frameCount],
        scene: EMPTY,
        clip: { ...link, file },
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

  private renderClip() {
    const { clip, link, frame } = this;
    if (link === null) return nothing;
    const last = (clip?.frameCount ?? 1) - 1;
    return html`<div class="sides">
      <cl-reading .link=${link} .clip=${clip} .message=${this.message} mayEdit
        @cl-link=${(event: CustomEvent<ClipLink>) => this.read(event.detail)}></cl-reading>
      ${
        clip === null
          ? nothing
          : html`<div class="look">
              ${unsafeHTML(pictureOf(clip, frame))}
              ${
                last === 0
                  ? nothing
                  : html`<label>
                      frame ${frame + 1} of ${last + 1}
                      <input type="range" min="0" max=${last} .value=${String(frame)}
                        @input=${(event: Event) => {
                          this.frame = Number((event.currentTarget as HTMLInputElement).value);
                        }} />
                    </label>`
              }
            </div>`
      }
    </div>`;
  }

  private renderForm() {
    const { incoming } = this;
    if (incoming.kind === 'none') return nothing;
    if (incoming.kind === 'bad') {
      return html`<p role="alert">${incoming.message} Nothing was changed.</p>`;
    }
    const good = incoming.kind === 'scene' || this.clip !== null;
    return html`<form @submit=${this.handleSubmit}>
      <p class="pencil small">${PICTURE_CAUTION}</p>
      <p>${LEADS[incoming.kind === 'scene' ? 'scene' : incoming.link.format]}</p>
      ${incoming.kind === 'clip' ? this.renderClip() : nothing}
      ${this.renderPlace()}
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
    return html`<dialog class=${incoming.kind === 'clip' ? 'wide' : ''} aria-labelledby="title">
      <div class="head">
        <h2 id="title">${incoming.kind === 'none' ? 'Bring in a file' : `Bring in ${incoming.name}`}</h2>
        <button type="button" @click=${() => this.dialog.close()}>Close</button>
      </div>
      ${this.renderForm()}
    </dialog>`;
  }
}

/** What is said first of each kind of file. */
const LEADS = {
  scene: 'A scene file: its figures, loads and surfaces become the first draft of a shot.',
  bvh: 'The clip has no weight and no unit of its own: say whose it is.',
  gltf: 'The clip has no weight of its own: say whose it is. Leave the stature empty to take the size in the file.',
  keypoints:
    'One picture shows no depth: depth is assumed, and what carries is a guess until you set it. For drawn and animated figures; ask people in a picture for their consent.',
} as const;

function pictureOf(clip: MovingClip, frame: number): string {
  const scene = clip.sceneAt(frame);
  return drawCard(scene, assess(scene), { theme: 'page' });
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-import-dialog': ImportDialog;
  }
}
