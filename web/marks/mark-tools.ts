import { html, LitElement, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { SEGMENTS } from '../../core/body/index.ts';
import {
  addMark,
  type Mark,
  type MarkEnd,
  type MarkKind,
  markMaps,
  readMarks,
  readStamps,
  recordMap,
  removeMark,
} from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Shown } from '../bench/shown.ts';
import { nameOf, segmentWord } from '../bench/words.ts';
import { Follow, observeMaps } from '../controllers/follow.ts';
import type { Session } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { markToolsStyles } from './marks.styles.ts';
import type { MarkTool } from './marks-layer.ts';
import { endPoints, measureText } from './measure.ts';

const TOOLS: readonly (readonly [MarkTool, string])[] = [
  ['ink', 'Ink'],
  ['line', 'Line'],
  ['arrow', 'Arrow'],
  ['length', 'Length'],
  ['angle', 'Angle'],
  ['rub', 'Rub out'],
];

type Straight = Exclude<MarkKind, 'ink'>;

const STRAIGHT: readonly (readonly [Straight, string])[] = [
  ['length', 'the length'],
  ['angle', 'the angle'],
  ['line', 'a line'],
  ['arrow', 'an arrow'],
];

const KIND_WORDS: Readonly<Record<MarkKind, string>> = {
  ink: 'ink',
  line: 'a line',
  arrow: 'an arrow',
  length: 'a length',
  angle: 'an angle',
};

/** Names of the ends of a straight mark, in their order. */
const ENDS = ['between', 'and'] as const;
const ANGLE_ENDS = ['from', 'at', 'to'] as const;

/** A typed point, for the list of ends. */
const TYPED = 'point';

/**
 * The tools of marks: one for the hand, and the same without a hand: straight marks between joints or
 * typed points, and the list of one's own marks to rub out. Fires `cl-tool` (detail: MarkTool or null).
 */
@customElement('cl-mark-tools')
export class MarkTools extends LitElement {
  static override styles = [shared, markToolsStyles];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) draft = '';
  @property({ attribute: false }) frame: number | null = null;
  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) tool: MarkTool | null = null;

  @state() private kind: Straight = 'length';
  /** Chosen ends by place: `figure/segment`, or TYPED. */
  @state() private chosen: readonly string[] = ['', '', ''];
  @state() private typed: readonly Vec3[] = [
    [0, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];

  constructor() {
    super();
    const update = (): void => this.requestUpdate();
    new Follow(this, () => {
      const { notes, record } = this.session.documents;
      return [
        observeMaps(markMaps(notes), update),
        observeMaps([recordMap(record, 'stamps')], update),
      ];
    });
  }

  private choose(tool: MarkTool): void {
    const detail = this.tool === tool ? null : tool;
    this.dispatchEvent(new CustomEvent<MarkTool | null>('cl-tool', { detail }));
  }

  private endAt(place: number): MarkEnd | null {
    const value = this.chosen[place] ?? '';
    if (value === TYPED) return { point: this.typed[place] ?? [0, 0, 0] };
    const [figure = '', part] = value.split('/');
    const segment = SEGMENTS.find((name) => name === part);
    return segment === undefined ? null : { figure, segment };
  }

  private draw(event: Event): void {
    event.preventDefault();
    const { session, kind } = this;
    const names = kind === 'angle' ? ANGLE_ENDS : ENDS;
    const ends = names.map((_, place) => this.endAt(place)).filter((end) => end !== null);
    if (ends.length < names.length) {
      session.say('Choose a joint or a point for each end first.');
      return;
    }
    const mark: Mark = {
      id: crypto.randomUUID(),
      draft: this.draft,
      frame: this.frame,
      view: 'every',
      reference: null,
      towards: null,
      kind,
      points: [],
      ends,
      pen: false,
    };
    session.edit('notes', `drew ${KIND_WORDS[kind]}`, (doc, origin) => addMark(doc, mark, origin));
    const points = endPoints(this.shown, ends);
    const text = points === null ? '' : measureText(kind, points);
    session.say(text === '' ? 'Drawn.' : `It measures ${text}.`);
  }

  private setEnd(place: number, value: string): void {
    this.chosen = this.chosen.map((end, i) => (i === place ? value : end));
  }

  private renderEnd(name: string, place: number) {
    const { scene } = this.shown;
    const value = this.chosen[place] ?? '';
    const point = this.typed[place] ?? [0, 0, 0];
    const type = (axis: number) => (event: Event) => {
      const cm = (event.currentTarget as HTMLInputElement).valueAsNumber;
      if (!Number.isFinite(cm)) return;
      const next = point.map((c, i) => (i === axis ? cm / 100 : c)) as unknown as Vec3;
      this.typed = this.typed.map((known, i) => (i === place ? next : known));
    };
    return html`<fieldset>
      <legend class="hidden-text">${name}</legend>
      <label>${name}
        <select
          aria-label="${name}: a joint or a point"
          @change=${(event: Event) =>
            this.setEnd(place, (event.currentTarget as HTMLSelectElement).value)}
        >
          <option value="" .selected=${value === ''}>choose</option>
          ${scene.figures.map(
            ({ id, name: figure }) => html`<optgroup label=${figure}>
              ${SEGMENTS.map(
                (segment) =>
                  html`<option value="${id}/${segment}" .selected=${value === `${id}/${segment}`}>${segmentWord(segment)}</option>`,
              )}
            </optgroup>`,
          )}
          <option value=${TYPED} .selected=${value === TYPED}>a point, typed</option>
        </select>
      </label>
      ${
        value === TYPED
          ? ['to the left', 'up', 'ahead'].map(
              (word, axis) => html`<label>${word}
                <input type="number" step="1" aria-label="${name}, ${word}, cm"
                  .value=${((point[axis] ?? 0) * 100).toFixed(0)} @change=${type(axis)} /></label>`,
            )
          : nothing
      }
    </fieldset>`;
  }

  private renderTyped() {
    const names = this.kind === 'angle' ? ANGLE_ENDS : ENDS;
    return html`<details>
      <summary>Between joints or typed points</summary>
      <form @submit=${this.draw}>
        <label>draw
          <select
            aria-label="What to draw"
            @change=${(event: Event) => {
              this.kind = (event.currentTarget as HTMLSelectElement).value as Straight;
            }}
          >
            ${STRAIGHT.map(
              ([kind, word]) =>
                html`<option value=${kind} .selected=${kind === this.kind}>${word}</option>`,
            )}
          </select>
        </label>
        ${names.map((name, place) => this.renderEnd(name, place))}
        <button type="submit">Draw it</button>
      </form>
    </details>`;
  }

  private whatItIs(mark: Mark): string {
    const points = endPoints(this.shown, mark.ends);
    const text = points === null ? '' : measureText(mark.kind, points);
    const joints = mark.ends.flatMap((end) =>
      'figure' in end
        ? [`${segmentWord(end.segment)} of ${nameOf(this.shown.scene, end.figure)}`]
        : [],
    );
    const where = joints.length > 0 ? `, ${joints.join(' to ')}` : '';
    const on = mark.reference === null ? '' : ' on the reference';
    return `${KIND_WORDS[mark.kind]}${on}${text === '' ? '' : `, ${text}`}${where}`;
  }

  private renderOwn() {
    const { session } = this;
    const stamps = readStamps(session.documents.record);
    const own = readMarks(session.documents.notes, this.draft).filter(
      ({ id }) => stamps.get(id)?.by === session.me.id,
    );
    if (own.length === 0) return nothing;
    return html`<details>
      <summary>${own.length === 1 ? 'Your mark on this draft' : `Your ${own.length} marks on this draft`}</summary>
      <ul>
        ${own.map(
          (mark) => html`<li>${this.whatItIs(mark)}
            <button
              aria-label="Rub out ${this.whatItIs(mark)}"
              @click=${() =>
                session.edit('notes', 'rubbed a mark out', (doc, origin) =>
                  removeMark(doc, mark.id, origin),
                )}
            >Rub out</button></li>`,
        )}
      </ul>
    </details>`;
  }

  protected override render() {
    return html`<div class="row" role="group" aria-label="Marks">
        ${TOOLS.map(
          ([tool, word]) => html`<button aria-pressed=${this.tool === tool}
            @click=${() => this.choose(tool)}>${word}</button>`,
        )}
        ${this.renderTyped()} ${this.renderOwn()}
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-mark-tools': MarkTools;
  }
}
