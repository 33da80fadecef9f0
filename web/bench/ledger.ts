import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import {
  type ClipLink,
  type Pin,
  readDraft,
  readPictures,
  setClip,
} from '../../core/document/index.ts';
import '../motion/frames-leaf.ts';
import '../motion/reading.ts';
import { type Leaf, rememberedLeaf } from '../parts/leaves.ts';
import type { LiveDraft } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import { ledgerStyles } from './ledger.styles.ts';
import type { Looking } from './looking.ts';
import type { Pictures } from './pictures/pictures.ts';
import './pictures/reference.ts';
import './pose-leaf.ts';
import type { Posing } from './posing.ts';
import type { Lit } from './readings-rows.ts';
import type { Shown } from './shown.ts';
import './things.ts';
import './ways.ts';
import './weigh.ts';

const CLIP: Leaf = { id: 'clip', word: 'Clip' };
const LEAVES: readonly Leaf[] = [
  { id: 'weigh', word: 'Weigh' },
  { id: 'ways', word: 'Ways back' },
  { id: 'pose', word: 'Pose' },
  { id: 'things', word: 'Things' },
  { id: 'frames', word: 'Frames' },
  { id: 'reference', word: 'Reference' },
];
const NAME = 'bench';

/**
 * The column beside the drawing, in leaves: what everything weighs, the pose in numbers, and the
 * things of the draft. Only the open leaf is rendered. Its parts fire `cl-pick` (detail: Pin),
 * `cl-light` (detail: Lit or null) and `cl-push-height` (detail: metres).
 */
@customElement('cl-ledger')
export class Ledger extends LitElement {
  static override styles = [shared, ledgerStyles];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) pictures!: Pictures;
  @property({ attribute: false }) looking!: Looking;
  @property({ attribute: false }) selection: Pin | null = null;
  /** Whether this person may edit the draft at all. */
  @property({ type: Boolean }) mayEdit = false;
  /** Figures that follow a clip. */
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  /** Why the figures cannot be posed; empty when they can. */
  @property() whyNot = '';
  /** The study of what is shown. */
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  /** What is pointed at in the plan or in a leaf. */
  @property({ attribute: false }) lit: Lit | null = null;
  @state() private leaf = rememberedLeaf(
    NAME,
    [...LEAVES, CLIP].map(({ id }) => id),
  );

  private onLeaf(event: CustomEvent<string>): void {
    this.leaf = event.detail;
    this.scrollTop = 0;
  }

  private renderPose() {
    if (this.whyNot !== '') return html`<p class="pencil">${this.whyNot}</p>`;
    if (this.shown.scene.figures.length === 0)
      return html`<p class="pencil">There is no figure to pose. Add one under Things.</p>`;
    return html`<cl-pose-leaf .live=${this.live} .shown=${this.shown} .posing=${this.posing}
      .settings=${this.posing.settings} .selection=${this.selection} .fixed=${this.fixed}></cl-pose-leaf>`;
  }

  private renderLeaf() {
    const { live, shown, posing, selection, mayEdit, fixed } = this;
    switch (this.leaf) {
      case 'weigh':
        return html`<cl-weigh slot="weigh" .live=${live} .shown=${shown} .posing=${posing}
          .mayEdit=${mayEdit} .fixed=${fixed} .studied=${this.studied} .lit=${this.lit}></cl-weigh>`;
      case 'ways':
        return html`<cl-ways slot="ways" .live=${live} .shown=${shown} .posing=${posing}
          .mayEdit=${mayEdit} .fixed=${fixed}></cl-ways>`;
      case 'pose':
        return html`<div slot="pose">${this.renderPose()}</div>`;
      case 'things':
        return html`<cl-things slot="things" .live=${live} .shown=${shown} .posing=${posing}
          .selection=${selection} .mayEdit=${mayEdit} .fixed=${fixed} .studied=${this.studied}></cl-things>`;
      case 'frames':
        return html`<cl-frames slot="frames" .live=${live} .entries=${live.entries} .mayEdit=${mayEdit}></cl-frames>`;
      case 'clip':
        return html`<div slot="clip">${this.renderClip()}</div>`;
      case 'reference':
        return html`<cl-reference slot="reference" .pictures=${this.pictures} .looking=${this.looking}
          .entries=${live.entries} .mayEdit=${mayEdit}></cl-reference>`;
      default:
        return nothing;
    }
  }

  /** How the file of the clip was read, to be corrected by whoever may edit. */
  private renderClip() {
    const { live, mayEdit } = this;
    const { clip, session } = live;
    const link = readDraft(session.documents.scenes, live.draft)?.clip ?? null;
    if (link === null) return nothing;
    const message = clip.kind === 'failed' ? clip.message : '';
    const correct = ({ detail }: CustomEvent<ClipLink>): void =>
      session.edit('scenes', 'changed how the clip is read', (doc, origin) =>
        setClip(doc, live.draft, detail, origin),
      );
    const camera = readPictures(live.entries).get('camera') ?? null;
    return html`<cl-reading .camera=${camera} .link=${link} .clip=${clip.kind === 'ready' ? clip.read : null}
      .message=${message} .mayEdit=${mayEdit} @cl-link=${correct}></cl-reading>`;
  }

  protected override render() {
    const leaves = this.live.clip.kind === 'none' ? LEAVES : [...LEAVES, CLIP];
    return html`<cl-leaves name=${NAME} label="Beside the drawing" .leaves=${leaves} .chosen=${this.leaf}
      @cl-leaf=${this.onLeaf}>${this.renderLeaf()}</cl-leaves>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-ledger': Ledger;
  }
}
