import { html, LitElement, nothing, svg, type TemplateResult } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { mainGroup, type Reading } from '../../core/balance/index.ts';
import { PATCHES } from '../../core/body/index.ts';
import type { Contact } from '../../core/contact/index.ts';
import type { Pin } from '../../core/document/index.ts';
import { applyTransform, type Vec2, type Vec3 } from '../../core/geometry/index.ts';
import type { Figure } from '../../core/scene/index.ts';
import { verdictColour } from '../badge/words.ts';
import { type Paths, pathLines, pathStyles } from '../motion/paths.ts';
import type { Other, Session } from '../session/index.ts';
import { NO_STUDY, type StudyState } from '../study/index.ts';
import { shared } from '../styles/shared.ts';
import type { SeenPing } from '../together/pings.ts';
import type { Eye } from './camera.ts';
import { lineReadings } from './elevation-lines.ts';
import type { Looking } from './looking.ts';
import { type Movable, movableAt, movableLabel, nextSetting } from './movables.ts';
import { planStyles } from './plan.styles.ts';
import { marginLines, surfaceOutline } from './plan-drawing.ts';
import { PlanHold } from './plan-hold.ts';
import { planPeople, planPings, planRules } from './plan-marks.ts';
import { around, type Box } from './plan-places.ts';
import { type SettingWord, settingWords } from './plan-settings.ts';
import {
  borderLines,
  edgeHolds,
  edgesLit,
  glowOf,
  shareNumbers,
  supportKind,
} from './plan-shares.ts';
import { planSides } from './plan-sides.ts';
import { floorAt, planAt } from './plan-space.ts';
import type { Posing } from './posing.ts';
import { type Lit, shiningOf } from './readings-rows.ts';
import { pointPin } from './selecting.ts';
import type { Shown } from './shown.ts';
import { nameOf, patchWord } from './words.ts';

/** Pixels within which a press is a press and no pull at the sheet. */
const PRESS = 4;

/** Areas of the feet, drawn whether they touch or not. */
const SOLES = PATCHES.filter((patch) => /^(sole|toes)/.test(patch));

/**
 * The plan: the floor from above, under the elevation and on the same axis in the front and side
 * view. Contacts are pressed to plant or lift them, and glow by their share of the weight. Fires
 * `cl-pick` (detail: Pin) and `cl-light` (detail: Lit or null).
 */
@customElement('cl-plan')
export class Plan extends LitElement {
  static override styles = [shared, planStyles, pathStyles];

  @property({ attribute: false }) shown!: Shown;
  @property({ attribute: false }) looking!: Looking;
  /** Changes when `looking` does, which stays the same object. */
  @property({ attribute: false }) eye!: Eye;
  @property({ attribute: false }) posing!: Posing;
  @property({ attribute: false }) others: readonly Other[] = [];
  @property({ attribute: false }) pings: readonly SeenPing[] = [];
  /** As of the elevation: nobody else sees where one points here. */
  @property({ type: Boolean }) alone = false;
  @property({ type: Boolean }) mayPose = false;
  /** Figures that follow a clip. */
  @property({ attribute: false }) fixed: ReadonlySet<string> = new Set();
  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) selection: Pin | null = null;
  @property({ attribute: false }) studied: StudyState = NO_STUDY;
  @property({ attribute: false }) lit: Lit | null = null;
  /** Ways of centre, extrapolated centre and pressure; null where nothing moves. */
  @property({ attribute: false }) paths: Paths | null = null;

  private readonly hold = new PlanHold(this);
  private pull: { readonly id: number; x: number; y: number; far: number } | null = null;

  private at(point: Vec2): { readonly x: number; readonly y: number } {
    return planAt(this.looking, point);
  }

  private outline(points: readonly Vec2[]): string {
    return points
      .map((point) => {
        const { x, y } = this.at(point);
        return `${x.toFixed(1)},${y.toFixed(1)}`;
      })
      .join(' ');
  }

  private maySet(figure: Figure): boolean {
    return this.mayPose && !this.fixed.has(figure.id);
  }

  private press(figure: Figure, contact: Contact['patch']): void {
    const pin: Pin = { kind: 'contact', contact: `${figure.id}/${contact}` };
    this.dispatchEvent(
      new CustomEvent<Pin>('cl-pick', { detail: pin, bubbles: true, composed: true }),
    );
    if (!this.maySet(figure) || contact === 'underside') return;
    const now = this.posing.now().scene.figures.find(({ id }) => id === figure.id) ?? figure;
    const next = nextSetting(now, contact);
    const setting = Object.values(next)[0] ?? 'auto';
    this.posing.set(next, `set the ${patchWord(contact)} to ${setting}`);
  }

  /** The foot of each figure's line, to be pulled: hips and trunk follow. */
  private renderCentres(): TemplateResult[] {
    const { shown, mayPose, fixed } = this;
    return shown.scene.figures.flatMap(({ id }) => {
      const movable: Movable = { kind: 'centre', figure: id };
      const centre = mayPose && !fixed.has(id) ? movableAt(shown, movable) : null;
      if (centre === null) return [];
      const { x, y } = this.at([centre[0], centre[2]]);
      const says = `Foot of the line, ${movableLabel(shown, movable)}: drag, or arrow keys`;
      return svg`<circle class="press centre-hold" role="button" tabindex="0" r="14" cx=${x} cy=${y}
        data-centre=${id} aria-label=${says}
        @pointerdown=${(event: PointerEvent) => this.hold.take(event, movable)}
        @pointermove=${this.hold.move} @pointerup=${this.hold.letGo} @pointercancel=${this.hold.giveUp}
        @keydown=${(event: KeyboardEvent) => this.hold.key(event, movable)}
        ><title>${says}</title></circle>`;
    });
  }

  private onDown(event: PointerEvent): void {
    if (event.target instanceof Element && event.target.closest('.press')) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.pull = { id: event.pointerId, x: event.clientX, y: event.clientY, far: 0 };
  }

  private onMove(event: PointerEvent): void {
    this.showCursor(event);
    if (this.pull?.id !== event.pointerId) return;
    const [dx, dy] = [event.clientX - this.pull.x, event.clientY - this.pull.y];
    const far = this.pull.far + Math.hypot(dx, dy);
    this.looking.panPlanBy(dx, dy);
    this.pull = { id: event.pointerId, x: event.clientX, y: event.clientY, far };
  }

  private onUp(event: PointerEvent): void {
    const pressed = this.pull !== null && this.pull.far < PRESS && event.type === 'pointerup';
    this.pull = null;
    if (!pressed || this.selection?.kind !== 'point') return;
    const [x, , z] = this.pointAt(event);
    const detail = pointPin([x, this.selection.point[1], z]);
    this.dispatchEvent(new CustomEvent<Pin>('cl-pick', { detail, bubbles: true, composed: true }));
  }

  /** The point of the floor under a pointer. */
  pointAt(event: PointerEvent): Vec3 {
    const box = this.getBoundingClientRect();
    return floorAt(this.looking, event.clientX - box.left, event.clientY - box.top);
  }

  /** Shows my pointer to the others, as a point of the floor. */
  private showCursor(event: PointerEvent): void {
    if (this.alone) return;
    this.session.show({ cursor: { view: 'plan', point: this.pointAt(event) } });
  }

  private onLeave(): void {
    this.session.show({ cursor: null });
  }

  private renderSoles(figure: Figure): TemplateResult[] {
    const { shown } = this;
    const mayPose = this.maySet(figure);
    const posed = shown.posed.get(figure.id);
    if (posed === undefined) return [];
    return SOLES.map((name) => {
      const patch = posed.body.patches[name];
      const world = patch.outline.map((point) =>
        applyTransform(posed.segments[patch.segment], point),
      );
      const points = this.outline(world.map(([x, , z]): Vec2 => [x, z]));
      const id = `${figure.id}/${name}`;
      const touches = shown.report.contacts.some((contact) => contact.id === id);
      const light = (): void => this.light({ kind: 'contacts', contacts: [id] });
      const setting = figure.contacts[name] ?? 'auto';
      const carries = touches ? ', carries weight' : ', does not touch';
      const says = `${patchWord(name)} of ${figure.name}: ${setting}${shown.hidden ? '' : carries}`;
      return svg`<g
        class="press ${mayPose ? 'may' : ''}"
        role="button"
        tabindex="0"
        data-contact=${id}
        aria-label="${says}${mayPose ? '. Press to change' : ''}"
        @click=${() => this.press(figure, name)}
        @pointerenter=${light}
        @focus=${light}
        @pointerleave=${() => this.light(null)}
        @blur=${() => this.light(null)}
        @keydown=${(event: KeyboardEvent) => {
          if (event.key !== 'Enter' && event.key !== ' ') return;
          event.preventDefault();
          this.press(figure, name);
        }}
      >
        <polygon class="outline sole ${touches || shown.hidden ? '' : 'up'}" points=${points} />
        <polygon class="target" points=${points} />
        <title>${says}</title>
      </g>`;
    });
  }

  private settings(figure: Figure): readonly SettingWord[] {
    const { axis, planHeight } = this.looking;
    return settingWords(this.shown, figure, (point) => this.at(point), this.lines(), {
      width: axis.width,
      height: planHeight,
    });
  }

  /** What plumb lines, their points and the numbers of margins take of the sheet. */
  private lines(): Box[] {
    const { planHeight } = this.looking;
    return lineReadings(this.shown.report).flatMap(({ reading, minor }) => {
      if (reading.plumb === null) return [];
      const { x, y } = this.at(reading.plumb);
      const line = { left: x - 8, right: x + 8, top: minor ? y - 8 : 0, bottom: y + 8 };
      const { number } = marginLines(reading, (point) => this.at(point), '', planHeight);
      return minor || number === null ? [line] : [line, around(number.x, number.y)];
    });
  }

  private renderReading(reading: Reading, minor: boolean): TemplateResult {
    const { plumb, support } = reading;
    const colour = verdictColour(reading.verdict);
    const lines = svg`
      ${borderLines(support, (point) => this.at(point), colour)}
      ${support.unbounded === true ? nothing : svg`<polygon class="functional" style="stroke:${colour}" points=${this.outline(support.functional)} />`}`;
    if (plumb === null) return minor ? svg`` : lines;
    const { x, y } = this.at(plumb);
    const aligned = this.looking.level;
    return svg`
      ${minor ? nothing : lines}
      ${minor ? nothing : marginLines(reading, (point) => this.at(point), colour, this.looking.planHeight).lines}
      ${aligned && !minor ? svg`<line class="plumb" style="stroke:${colour}" x1=${x} x2=${x} y1="0" y2=${y} />` : nothing}
      <circle class="point" style="stroke:${colour}" cx=${x} cy=${y} r=${minor ? 4 : 7} />
      ${minor ? nothing : svg`<circle class="dot" style="fill:${colour}" cx=${x} cy=${y} r="2.5" />`}`;
  }

  private readonly light = (lit: Lit | null): void => {
    this.dispatchEvent(
      new CustomEvent<Lit | null>('cl-light', { detail: lit, bubbles: true, composed: true }),
    );
  };

  /** What stands on the sheet before the shares: plumb lines, points, numbers of margins, settings. */
  private taken(): Box[] {
    const { planHeight } = this.looking;
    const words = this.shown.scene.figures
      .flatMap((figure) => this.settings(figure))
      .map(({ place }) => place);
    const caption = { left: 0, right: 420, top: planHeight - 30, bottom: planHeight };
    return [...words, ...this.lines(), caption];
  }

  protected override render() {
    const { shown, looking } = this;
    if (!looking.ready) return nothing;
    const { axis, planHeight: height } = looking;
    const { scene, report } = shown;
    const main = mainGroup(report);
    const plumb = main?.plumb ? this.at(main.plumb) : null;
    const colourOf = (owner: string): string =>
      verdictColour(
        report.groups.find(({ members }) => members.includes(owner))?.verdict ?? 'unknown',
      );
    const study = this.studied.scene === scene ? this.studied.study : null;
    const groups = study?.groups ?? [];
    const at = (point: Vec2) => this.at(point);
    const shining = shiningOf(this.lit, study);
    const kind = main === undefined ? '' : supportKind(main, report.contacts);
    const turned = !looking.level
      ? 'The plan keeps the front view’s direction: it lines up with the elevation in the front and side view.'
      : '';
    return html`<svg
        width=${axis.width}
        height=${height}
        role="group"
        aria-label="Plan: the floor from above"
        data-plumb-x=${plumb?.x ?? nothing}
        data-plumb-y=${plumb?.y ?? nothing}
        @pointerdown=${this.onDown}
        @pointermove=${this.onMove}
        @pointerup=${this.onUp}
        @pointercancel=${this.onUp}
        @pointerleave=${this.onLeave}
      >
        <defs>
          <pattern id="hatch" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line x1="0" y1="0" x2="0" y2="8" class="hatch" />
          </pattern>
        </defs>
        ${planRules(axis, height)}
        ${scene.surfaces.map((surface) => {
          const points = surfaceOutline(surface);
          return points === null
            ? nothing
            : svg`<polygon class="surface" points=${this.outline(points)} />`;
        })}
        ${groups.map((group) => edgeHolds(shown, group, at, this.light))}
        ${scene.figures.map((figure) => this.renderSoles(figure))}
        ${report.contacts.map(
          (contact) => svg`<polygon class="contact ${shining.contacts.has(contact.id) ? 'lit' : ''}"
            style="--tint:${colourOf(contact.owner)};--glow:${glowOf(study, contact) ?? 0.22};pointer-events:none"
            points=${this.outline(contact.outline.map(([x, , z]): Vec2 => [x, z]))}
            ><title>${patchWord(contact.patch)} of ${nameOf(scene, contact.owner)}</title></polygon>`,
        )}
        ${scene.figures.flatMap((figure) =>
          this.settings(figure).map(
            ({ place: { left, right, top, bottom }, word }) =>
              svg`<text class="mark" x=${(left + right) / 2} y=${(top + bottom) / 2 + 4}>${word}</text>`,
          ),
        )}
        <g style="pointer-events:none">
          ${this.paths === null ? nothing : pathLines(this.paths, (point) => this.at(point))}
          ${lineReadings(report).map(({ reading, minor }) => this.renderReading(reading, minor))}
          ${groups.map((group) => edgesLit(group, at, shining))}
          ${study === null ? nothing : shareNumbers(shown, study, at, this.taken(), { width: axis.width, height })}
          ${planPeople(this.others, at)} ${planPings(this.pings, at)}
        </g>
        ${this.renderCentres()}
      </svg>
      ${
        this.mayPose
          ? planSides({
              ...{ shown, sized: this.posing.sized, hold: this.hold },
              at: (point) => this.at(point),
            })
          : nothing
      }
      <slot name="marks"></slot>
      <div class="caption small">
        ${kind === '' ? nothing : html`<p data-kind>${kind}</p>`}
        ${turned === '' ? nothing : html`<p class="turned">${turned}</p>`}
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'cl-plan': Plan;
  }
}
