import {
  type Band,
  contactWords,
  type Edges,
  type GroupStudy,
  type Study,
  type SupportEdge,
} from '../../core/balance/index.ts';
import type { Contact } from '../../core/contact/index.ts';
import type { Vec2 } from '../../core/geometry/index.ts';
import type { Shown } from './shown.ts';
import { nameOf, patchWord, restsOn, sayList } from './words.ts';

/** A study as the bench shows it: what carries which share, and what the edges are made of. */

/** One foot, or one other contact, with what it carries. Shares of the group's weight. */
export interface ShareRow {
  readonly name: string;
  /** What it rests on. */
  readonly on: string;
  readonly share: number;
  /** What statics alone leaves open; null where it decides the share. */
  readonly range: Band | null;
  /** Of a foot: parts of the share on the heel and on the ball with the toes. */
  readonly parts: { readonly heel: number; readonly ball: number } | null;
  /** Ids of its contacts. */
  readonly contacts: readonly string[];
  /** Friction used of friction available; null where it carries nothing. */
  readonly friction: number | null;
}

const isFoot = (patch: string): boolean => /^(sole|toes)[LR]$/.test(patch);

/** The rows of a group: feet first, then what else touches the ground, then members on members. */
export function shareRows({ scene, report }: Shown, { loads }: GroupStudy): readonly ShareRow[] {
  if (loads.kind !== 'told') return [];
  const all = [...loads.contacts, ...loads.between];
  const several = new Set(all.map(({ owner }) => owner)).size > 1;
  const of = (owner: string): string => (several ? ` of ${nameOf(scene, owner)}` : '');
  const contact = (id: string): Contact | undefined => report.contacts.find((c) => c.id === id);
  const grounds = (ids: readonly string[]): string => {
    const found = ids.flatMap((id) => contact(id) ?? []);
    return sayList([...new Set(found.map((c) => restsOn(scene, c)))]);
  };
  const feet = loads.feet.map((foot): ShareRow => {
    const mine = loads.contacts.filter(
      ({ owner, patch }) => owner === foot.figure && isFoot(patch) && patch.endsWith(foot.side),
    );
    const ids = mine.map((share) => share.contact);
    return {
      name: `${foot.side === 'L' ? 'left' : 'right'} foot${of(foot.figure)}`,
      on: grounds(ids),
      share: foot.likelyShare,
      range: foot.unique ? null : foot.share,
      parts: { heel: foot.heelShare, ball: foot.ballShare },
      contacts: ids,
      friction: foot.frictionUsed,
    };
  });
  const others = [...loads.contacts.filter(({ patch }) => !isFoot(patch)), ...loads.between].map(
    (share): ShareRow => ({
      name:
        share.patch === 'underside'
          ? nameOf(scene, share.owner)
          : `${patchWord(share.patch)}${of(share.owner)}`,
      on: grounds([share.contact]),
      share: share.likelyShare,
      range: share.unique ? null : share.share,
      parts: null,
      contacts: [share.contact],
      friction: share.frictionUsed,
    }),
  );
  return [...feet, ...others];
}

/**
 * Edges next to each other that the same contacts make the same way. A border that friction rounds off
 * passes from contact to contact in many short edges: of those, all on one side are one stretch.
 */
export interface Stretch {
  readonly points: readonly Vec2[];
  /** Which side of the support it is: "front", "back left". */
  readonly side: string;
  /** Ids of the contacts that make it; of edges that differ, those of the nearest or the longest. */
  readonly contacts: readonly string[];
  readonly made: SupportEdge['made'];
  /** The plumb point is nearest to it. */
  readonly nearest: boolean;
}

const sameMakers = (a: SupportEdge, b: SupportEdge): boolean =>
  a.made === b.made &&
  ((a.made === 'friction' && a.side === b.side) ||
    [...a.contacts].sort().join() === [...b.contacts].sort().join());

const lengthOf = ({ from, to }: SupportEdge): number =>
  Math.hypot(to[0] - from[0], to[1] - from[1]);

/** The border of a support in stretches, in its own order. */
export function stretchesOf({ edges, nearest }: Pick<Edges, 'edges' | 'nearest'>): Stretch[] {
  const count = edges.length;
  // Begins where one stretch ends, so that none is cut in two by the list's beginning.
  const first = edges.findIndex((edge, i) => !sameMakers(edges[(i + count - 1) % count]!, edge));
  const runs: number[][] = [];
  for (let k = 0; k < count; k++) {
    const i = (Math.max(first, 0) + k) % count;
    const run = runs.at(-1);
    const last = run?.at(-1);
    if (run !== undefined && last !== undefined && sameMakers(edges[last]!, edges[i]!)) run.push(i);
    else runs.push([i]);
  }
  return runs.map((run) => {
    const mine = run.map((i) => edges[i]!);
    const longest = mine.reduce((a, b) => (lengthOf(b) > lengthOf(a) ? b : a));
    const near = nearest !== null && run.includes(nearest) ? edges[nearest] : undefined;
    return {
      points: [mine[0]!.from, ...mine.map(({ to }) => to)],
      side: (near ?? longest).side,
      contacts: (near ?? longest).contacts,
      made: longest.made,
      nearest: near !== undefined,
    };
  });
}

/** What makes a stretch, in words: "both heels", "the seat and both feet, by friction". */
export function makersOf({ scene, report }: Shown, stretch: Stretch): string {
  if (stretch.made === 'grips') return 'where one can no longer hold the other';
  const makers = report.contacts.filter(({ id }) => stretch.contacts.includes(id));
  if (makers.length === 0) return 'pushes against each other';
  const key = ({ owner, patch }: Contact): string =>
    patch === 'underside' ? `load/${owner}` : `figure/${owner}`;
  const several = new Set(report.contacts.map(key)).size > 1;
  const names = new Map(makers.map((contact) => [key(contact), nameOf(scene, contact.owner)]));
  const words = contactWords(makers, several ? names : null, stretch.side === 'back');
  return stretch.made === 'friction' ? `${words}, by friction` : words;
}

/** Something of the support that a person points at, in the plan or in the leaf. */
export type Lit =
  | { readonly kind: 'stretch'; readonly group: string; readonly at: number }
  | { readonly kind: 'contacts'; readonly contacts: readonly string[] };

/** Everything that shines with it: contacts by id, stretches as `group/number`. */
export interface Shining {
  readonly contacts: ReadonlySet<string>;
  readonly stretches: ReadonlySet<string>;
}

export const stretchKey = (group: string, at: number): string => `${group}/${at}`;

/** What shines when something is pointed at: an edge with its contacts, a contact with its edges. */
export function shiningOf(lit: Lit | null, study: Study | null): Shining {
  const contacts = new Set<string>();
  const stretches = new Set<string>();
  if (lit?.kind === 'contacts') for (const id of lit.contacts) contacts.add(id);
  for (const group of lit === null ? [] : (study?.groups ?? [])) {
    if (group.edges.kind !== 'told') continue;
    stretchesOf(group.edges).forEach((stretch, at) => {
      const pointed = lit?.kind === 'stretch' && lit.group === group.id && lit.at === at;
      const made = lit?.kind === 'contacts' && stretch.contacts.some((id) => contacts.has(id));
      if (!pointed && !made) return;
      stretches.add(stretchKey(group.id, at));
      if (pointed) for (const id of stretch.contacts) contacts.add(id);
    });
  }
  return { contacts, stretches };
}
