import { html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Band, GroupStudy, Study } from '../../core/balance/index.ts';
import type { Pin } from '../../core/document/index.ts';
import { centimetres, percent } from '../badge/words.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import './number-field.ts';
import './read-out.ts';
import { readingsStyles } from './readings.styles.ts';
import {
  type Lit,
  makersOf,
  type ShareRow,
  shareRows,
  shiningOf,
  stretchesOf,
  stretchKey,
} from './readings-rows.ts';
import {
  forceWords,
  frictionRows,
  gripRows,
  liftRows,
  lineRows,
  nearRows,
  pullRows,
  pushHeightOf,
  pushTable,
  rangeWords,
  sturdyRows,
  type TextRow,
} from './readings-words.ts';
import { type SeenStudy, seenStudy } from './seen-study.ts';
import type { Shown } from './shown.ts';
import { nameOf } from './words.ts';

/**
 * What statics says of what is shown: shares of every contact, forces through grips, friction,
 * tipping, pushes, edges, what moves the centre, how sturdy the verdict is. The first things big, the
 * rest folded. Fires `cl-light` (detail: Lit or null), `cl-pick` (detail: Pin) and `cl-push-height`
 * (detail: metres).
 */
@customElement('cl-readings')
export class Readings extends LitElement {
  static override styles = [shared, readingsStyles];

  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  /** What is pointed at, here or in the plan. */
  @property({ attribute: false }) lit: Lit | null = null;
  private seen: SeenStudy | null = null;

  protected override willUpdate(): void {
    this.seen = seenStudy(this.seen, this.shown, this.studied);
  }

  private light(lit: Lit | null): void {
    this.dispatchEvent(
      new CustomEvent<Lit | null>('cl-light', { detail: lit, bubbles: true, composed: true }),
    );
  }

  private pick(detail: Pin): void {
    this.dispatchEvent(new CustomEvent<Pin>('cl-pick', { detail, bubbles: true, composed: true }));
  }

  private renderShares(shown: Shown, group: GroupStudy, shining: ReadonlySet<string>) {
    if (group.loads.kind === 'cannot tell')
      return html`<section><h2>What carries it</h2><p>${group.loads.sentence}</p></section>`;
    const rows = shareRows(shown, group);
    const open = rows.some(({ range }) => range !== null);
    const how = group.loads.springs ? 'as equal springs would share it' : 'the middle of the range';
    return html`<section class="shares">
      <h2>What carries it</h2>
      ${rows.map((row) =>
        this.renderShare(
          row,
          row.contacts.some((id) => shining.has(id)),
        ),
      )}
      ${open ? html`<p class="remark">Likely: ${how}. Statics alone allows the range.</p>` : nothing}
    </section>`;
  }

  private renderShare(row: ShareRow, lit: boolean) {
    const { name, on, share, range, parts, contacts } = row;
    const [contact = ''] = contacts;
    const light = (): void => this.light({ kind: 'contacts', contacts });
    const about = [
      ...(parts === null ? [] : [`heel ${percent(parts.heel)}, ball ${percent(parts.ball)}`]),
      ...(range === null ? [] : [`could be ${rangeWords(range)}`]),
    ].join('; ');
    return html`<div class="row ${lit ? 'lit' : ''}" data-share=${contact}
        @pointerenter=${light} @pointerleave=${() => this.light(null)}>
      <button type="button" @focus=${light} @blur=${() => this.light(null)}
        @click=${() => this.pick({ kind: 'contact', contact })}>${name}</button>
      <span class="share">${range === null ? nothing : html`<span class="small">likely</span> `}${percent(share)}</span>
      ${scaleOf(share, range)}
      <span class="under">on ${on}${about === '' ? nothing : html`<br />${about}`}</span>
    </div>`;
  }

  private renderRows(title: string, rows: readonly TextRow[]) {
    if (rows.length === 0) return nothing;
    return html`<section class="lines">
      <h2>${title}</h2>${rows.map(textRow)}
    </section>`;
  }

  private renderPushes(shown: Shown, group: GroupStudy) {
    const tables = group.pushes.flatMap((told) => (told.kind === 'told' ? [told] : []));
    const [first] = tables;
    if (first === undefined) return nothing;
    const height = pushHeightOf(shown, group, first);
    const least = tables
      .flatMap(({ pushes }) => pushes)
      .reduce<number | null>(
        (low, { force_N }) => (force_N !== null && (low === null || force_N < low) ? force_N : low),
        null,
      );
    return html`<details>
      <summary><span>Pushes</span><span>${least === null ? 'any' : `from ${forceWords(least)}`}</span></summary>
      <div class="inside">
        <cl-number label="pushed at" unit="cm" data-push-height .value=${height * 100} .min=${0} .digits=${0} .step=${5}
          @cl-value=${(event: CustomEvent<number>) => {
            event.stopPropagation();
            this.dispatchEvent(
              new CustomEvent<number>('cl-push-height', {
                detail: event.detail / 100,
                bubbles: true,
                composed: true,
              }),
            );
          }}></cl-number>
        ${tables.map(
          (
            told,
          ) => html`${tables.length > 1 ? html`<h3>${nameOf(shown.scene, told.figure)}, at ${centimetres(pushHeightOf(shown, group, told))}</h3>` : nothing}
            ${pushTable(told).map(textRow)}`,
        )}
        <p class="remark">The most that it takes, level, in line with its centre.</p>
      </div>
    </details>`;
  }

  private renderEdges(shown: Shown, group: GroupStudy, shining: ReadonlySet<string>) {
    if (group.edges.kind !== 'told') return nothing;
    const stretches = stretchesOf(group.edges);
    const near = stretches.find(({ nearest }) => nearest);
    return html`<details>
      <summary><span>Edges</span><span>${near === undefined ? 'no end' : `nearest: ${near.side}`}</span></summary>
      <div class="inside edges">
        ${stretches.map((stretch, at) => {
          const light = (): void => this.light({ kind: 'stretch', group: group.id, at });
          const key = stretchKey(group.id, at);
          return html`<div class="row ${shining.has(key) ? 'lit' : ''}" data-edge=${key}
              @pointerenter=${light} @pointerleave=${() => this.light(null)}>
            <button type="button" @focus=${light} @blur=${() => this.light(null)} @click=${light}>
              ${stretch.side}</button>
            <span>${makersOf(shown, stretch)}</span>
          </div>`;
        })}
      </div>
    </details>`;
  }

  private renderFold(title: string, value: string, rows: readonly TextRow[], remark = '') {
    if (rows.length === 0) return nothing;
    return html`<details>
      <summary><span>${title}</span><span>${value}</span></summary>
      <div class="inside">${rows.map(textRow)}${remark === '' ? nothing : html`<p class="remark">${remark}</p>`}</div>
    </details>`;
  }

  private renderFolds(shown: Shown, group: GroupStudy, stretches: ReadonlySet<string>) {
    const friction = frictionRows(shareRows(shown, group));
    const pulls = pullRows(shown, group);
    const lifts = liftRows(shown, group);
    const { sturdiness } = group;
    return html`<div class="folds">
      ${this.renderPushes(shown, group)} ${this.renderEdges(shown, group, stretches)}
      ${this.renderFold('Friction at each contact', friction.value, friction.rows, 'Used of what there is, at the likely forces.')}
      ${this.renderFold('First to lift', lifts.length === 1 ? lifts[0]!.value : '', lifts)}
      ${this.renderFold('What moves it most', pulls.value, pulls.rows, 'How far the foot of the line moves for one degree.')}
      ${
        sturdiness.kind === 'told'
          ? this.renderFold(
              'Under other body tables',
              sturdiness.sturdy ? 'the same' : 'depends',
              sturdyRows(sturdiness),
            )
          : nothing
      }
    </div>`;
  }

  private renderGroup(shown: Shown, group: GroupStudy, study: Study, named: boolean) {
    const shining = shiningOf(this.lit, study);
    const near = nearRows(shown, group);
    return html`<div class="group" data-group=${group.id}>
      ${
        named
          ? html`<h2 class="who">${group.members.map((id) => nameOf(shown.scene, id)).join(', ')}</h2>`
          : nothing
      }
      ${this.renderShares(shown, group, shining.contacts)}
      ${this.renderRows('Through the grips', [...gripRows(shown, group), ...lineRows(group)])}
      ${this.renderRows('How near to the end', near)}
      ${this.renderFolds(shown, group, shining.stretches)}
    </div>`;
  }

  protected override render() {
    const { working, fault, scene } = this.studied;
    const stale = working || scene !== this.shown.scene;
    if (fault !== null) return html`<p class="remark" role="alert">${fault}</p>`;
    const { seen } = this;
    if (seen === null)
      return working ? html`<p class="remark">Working out what carries it\u2026</p>` : nothing;
    const figures = new Set(seen.shown.scene.figures.map(({ id }) => id));
    const groups = seen.study.groups.filter(({ members }) => members.some((id) => figures.has(id)));
    return html`<div aria-busy=${stale}>
      ${groups.map((group) => this.renderGroup(seen.shown, group, seen.study, groups.length > 1))}
      ${groups.length === 0 ? nothing : html`<cl-read-out .shown=${seen.shown} .study=${seen.study}></cl-read-out>`}
    </div>`;
  }
}

const textRow = ({ name, value, under }: TextRow): TemplateResult =>
  html`<div class="row"><span>${name}</span><span>${value}</span>
    ${under === undefined ? nothing : html`<span class="under">${under}</span>`}</div>`;

/** A share on a scale from nothing to all: a plain bar where statics decides, else its range and the likely place. */
function scaleOf(share: number, range: Band | null): TemplateResult {
  const at = (value: number): string => `${Math.max(0, Math.min(1, value)) * 100}%`;
  return html`<svg class="scale" aria-hidden="true">
    <line class="whole" x1="0" x2="100%" y1="5" y2="5" />
    ${
      range === null
        ? svg`<line class="is" x1="0" x2=${at(share)} y1="5" y2="5" />`
        : svg`<line class="range" x1=${at(range.least ?? 0)} x2=${at(range.most ?? 1)} y1="5" y2="5" />
          <line class="likely" x1=${at(share)} x2=${at(share)} y1="0" y2="10" />`
    }
  </svg>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-readings': Readings;
  }
}
