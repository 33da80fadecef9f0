import { svg, type TemplateResult } from 'lit';
import {
  borderOf,
  type GroupStudy,
  type Reading,
  type Study,
  type Support,
} from '../../core/balance/index.ts';
import type { Contact } from '../../core/contact/index.ts';
import type { Vec2 } from '../../core/geometry/index.ts';
import { percent } from '../badge/words.ts';
import type { PagePoint } from './plan-drawing.ts';
import { type Box, bestPlace, boxRound, type SheetSize } from './plan-places.ts';
import {
  type Lit,
  makersOf,
  type Shining,
  shareRows,
  stretchesOf,
  stretchKey,
} from './readings-rows.ts';
import type { Shown } from './shown.ts';

/** What the plan shows of a study: shares on the contacts, and edges that say what makes them. */

type At = (point: Vec2) => PagePoint;

/** How strongly a contact glows: from this at nothing to that at the whole weight. */
const FAINT = 0.1;
const STRONG = 0.75;

/** Fill strength of a contact by its likely share; null while shares are not known. */
export function glowOf(study: Study | null, contact: Contact): number | null {
  for (const { loads } of study?.groups ?? []) {
    if (loads.kind !== 'told') continue;
    const share = [...loads.contacts, ...loads.between].find((s) => s.contact === contact.id);
    if (share === undefined) continue;
    return FAINT + (STRONG - FAINT) * Math.max(0, Math.min(1, share.likelyShare));
  }
  return null;
}

/**
 * The share of every foot and other contact as a number beside it, where it covers least: other
 * contacts, the plumb line above the point, other numbers. None where one contact carries all.
 * @param taken what stands on the sheet already, pixels
 * @param sheet its size, pixels: no number leaves it where another place is to be had
 */
export function shareNumbers(
  shown: Shown,
  study: Study,
  at: At,
  taken: readonly Box[],
  sheet: SheetSize,
): TemplateResult[] {
  const covered = [...taken];
  const boxOf = (contacts: readonly string[]): Box | null => {
    const points = shown.report.contacts
      .filter(({ id }) => contacts.includes(id))
      .flatMap(({ outline }) => outline.map(([x, , z]) => at([x, z])));
    if (points.length === 0) return null;
    return boxRound(points);
  };
  const rows = study.groups.flatMap((group) => {
    const all = shareRows(shown, group);
    return all.length < 2 ? [] : all;
  });
  const boxes = rows.map(({ contacts }) => boxOf(contacts));
  for (const box of boxes) if (box !== null) covered.push(box);
  return rows.map(({ contacts, share, range }, i) => {
    const box = boxes[i];
    if (box === null || box === undefined) return svg``;
    const place = bestPlace(box, covered, sheet);
    covered.push(place);
    return svg`<text class="share-number" data-share=${contacts[0] ?? ''}
      x=${(place.left + place.right) / 2} y=${(place.top + place.bottom) / 2}
      ><title>${range === null ? 'share' : 'likely share'}</title>${percent(share)}</text>`;
  });
}

const pathOf = (points: readonly Vec2[], at: At): string =>
  points
    .map((point) => at(point))
    .map(({ x, y }) => `${x.toFixed(1)},${y.toFixed(1)}`)
    .join(' ');

/** The outline of a support in plan; open where it has no end. */
export const borderLines = (support: Support, at: At, colour: string): TemplateResult[] =>
  borderOf(support).map(
    (line) => svg`<polyline class="support" style="stroke:${colour}" points=${pathOf(line, at)} />`,
  );

/**
 * Edges that answer to a pointer: pointed at, they and what makes them shine; their names stand in
 * the leaf beside the drawing.
 */
export function edgeHolds(
  shown: Shown,
  group: GroupStudy,
  at: At,
  light: (lit: Lit | null) => void,
): TemplateResult[] {
  if (group.edges.kind !== 'told') return [];
  return stretchesOf(group.edges).map(
    (stretch, i) => svg`<polyline class="edge-hold" data-edge=${stretchKey(group.id, i)}
        points=${pathOf(stretch.points, at)}
        @pointerenter=${() => light({ kind: 'stretch', group: group.id, at: i })}
        @pointerleave=${() => light(null)}
      ><title>${stretch.side}: ${makersOf(shown, stretch)}</title></polyline>`,
  );
}

/** The edges that shine now. */
export function edgesLit(
  { id, edges }: GroupStudy,
  at: At,
  { stretches }: Shining,
): TemplateResult[] {
  if (edges.kind !== 'told' || stretches.size === 0) return [];
  return stretchesOf(edges).flatMap(({ points }, i) =>
    stretches.has(stretchKey(id, i))
      ? [svg`<polyline class="edge-lit" points=${pathOf(points, at)} />`]
      : [],
  );
}

const HANDS = /^(palm|forearm)/;

/** What kind of support the plan shows, in words. */
export function supportKind({ support }: Reading, contacts: readonly Contact[]): string {
  const mine = contacts.filter(({ id }) => support.contacts.includes(id));
  const grips = mine.some(({ setting }) => setting === 'gripping') ? 'hands that hold on and ' : '';
  const hands = grips || (mine.some(({ patch }) => HANDS.test(patch)) ? 'hands and ' : '');
  if (support.kind === 'none') return '';
  if (support.unbounded === true)
    return `Support: braced with ${hands}friction, open where it has no end`;
  if (support.basis === 'hull') return 'Support: the outline round level contacts';
  if (!support.exact) return 'Support: where each of those joined can still hold the other';
  return `Support: where the centre can be held with ${hands}friction`;
}
