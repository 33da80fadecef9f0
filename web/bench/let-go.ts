import { css, html, LitElement, nothing, type PropertyValues } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { type ClosedHand, closedHands, handSets } from '../../core/balance/index.ts';
import type { Grip, GripEnd, Scene } from '../../core/scene/index.ts';
import type { LiveDraft, Supposed } from '../session/index.ts';
import { shared } from '../styles/shared.ts';
import { ledgerStyles } from './ledger.styles.ts';
import {
  asStored,
  endSupposed,
  gripWords,
  outcomeWords,
  rateOf,
  suppose,
  supposedWords,
} from './what-if.ts';
import { nameOf, segmentWord } from './words.ts';

/** One hold that can be let go of: all grips between two, the hands round a bar, or one of several. */
interface Choice {
  readonly open: readonly string[];
  /** In the list: who holds whom, or what. */
  readonly words: string;
  /** "Aunt and Harvest boy let go of each other" */
  readonly asks: string;
  readonly outcome: string;
}

/**
 * What becomes of those who hold on if they let go: each two who hold each other, whoever has closed
 * hands round a bar or an edge, and each hold of several, with a word that shows it to everybody as a what-if.
 */
@customElement('cl-let-go')
export class LetGoList extends LitElement {
  static override styles = [
    shared,
    ledgerStyles,
    css`
      li p {
        padding-left: 1.1rem;
      }
      li + li {
        border-top: 1px solid var(--rule);
        margin-top: 0.25rem;
        padding-top: 0.25rem;
      }
    `,
  ];

  @property({ attribute: false }) live!: LiveDraft;
  @property({ attribute: false }) scene!: Scene;
  @property({ attribute: false }) supposed: readonly Supposed[] = [];
  private choices: readonly Choice[] = [];

  protected override willUpdate(changed: PropertyValues): void {
    // While something is dragged the last answer stands: each one weighs the parts anew.
    if (!changed.has('scene')) return;
    if (this.live.movers.length > 0 && this.choices.length > 0) return;
    this.choices = choicesOf(asStored(this.live), rateOf(this.live));
  }

  private renderChoice({ open, words, asks, outcome }: Choice) {
    const { live } = this;
    const mine = this.supposed.find((one) => one.mine);
    const on = mine !== undefined && same(mine.open, open);
    return html`<li class="wide">
      <span class="row"><span>${words}</span>
        ${
          live.session.mayWrite('notes')
            ? html`<button type="button" aria-pressed=${on} aria-label="What if ${asks}"
                @click=${() => (on ? endSupposed(live, mine) : suppose(live, open))}>what if</button>`
            : nothing
        }</span>
      <p class="small">${outcome}</p>
    </li>`;
  }

  protected override render() {
    if (this.choices.length === 0) return nothing;
    return html`<section>
      <h2>If they let go</h2>
      <ul class="list">${this.choices.map((choice) => this.renderChoice(choice))}</ul>
    </section>`;
  }
}

const same = (a: readonly string[], b: readonly string[]): boolean =>
  [...a].sort().join(' ') === [...b].sort().join(' ');

/** All grips of each two first, then the single ones of those who have several, then hands likewise. */
export function choicesOf(scene: Scene, rate: number): readonly Choice[] {
  const closed = scene.grips.filter(({ open }) => !open);
  const pairs = new Map<string, Grip[]>();
  for (const grip of closed) {
    const key = [grip.a, grip.b].map(thing).sort().join(' ');
    pairs.set(key, [...(pairs.get(key) ?? []), grip]);
  }
  const choice = (holds: readonly { readonly id: string }[], words: string): Choice => {
    const open = holds.map(({ id }) => id);
    const asks = supposedWords(scene, open);
    return { open, words, asks, outcome: outcomeWords(scene, open, rate) };
  };
  const hands = (set: readonly ClosedHand[], all: boolean): Choice => {
    const { figure, patch, round } = set[0]!;
    const name = nameOf(scene, figure);
    const who = all ? name : `${segmentWord(patch === 'palmL' ? 'handL' : 'handR')} of ${name}`;
    return choice(set, `${who} at ${nameOf(scene, round)}`);
  };
  const all = [...pairs.values()];
  return [
    ...all.map((grips) =>
      choice(grips, [grips[0]!.a, grips[0]!.b].map(named(scene)).join(' and ')),
    ),
    ...all
      .filter((grips) => grips.length > 1)
      .flatMap((grips) => grips.map((grip) => choice([grip], gripWords(scene, grip.id)))),
    ...handSets(closedHands(scene)).flatMap((set) => [
      hands(set, true),
      ...(set.length > 1 ? set.map((hand) => hands([hand], false)) : []),
    ]),
  ].filter(({ outcome }) => outcome !== '');
}

const thing = (end: GripEnd): string =>
  end.kind === 'figure' ? `figure/${end.figure}` : `load/${end.load}`;

const named =
  (scene: Scene) =>
  (end: GripEnd): string =>
    nameOf(scene, end.kind === 'figure' ? end.figure : end.load);

declare global {
  interface HTMLElementTagNameMap {
    'cl-let-go': LetGoList;
  }
}
