import { VERDICTS, type Verdict } from '../../core/balance/types.ts';
import { assignedName, SHOT_STATES, type Shot, type ShotState } from '../../core/document/index.ts';
import type { BoardFacts } from './facts.ts';

/** In which order shots hang. `board`: in rows by sequence; the others in one row of all. */
export const ORDERS = ['board', 'state', 'person', 'due', 'verdict', 'margin', 'notes'] as const;
export type Order = (typeof ORDERS)[number];

export const ORDER_WORDS: Readonly<Record<Order, string>> = {
  board: 'sequence',
  state: 'state',
  person: 'person',
  due: 'day due',
  verdict: 'verdict',
  margin: 'margin, least first',
  notes: 'open notes, most first',
};

/** What the board is narrowed to, besides its view. */
export interface Narrowing {
  readonly state: ShotState | null;
  /** As in `Shot.assigned`; '' for shots that nobody has; null for any. */
  readonly person: string | null;
  readonly verdict: Verdict | null;
  /** Only shots with less margin than this, metres. */
  readonly marginBelow: number | null;
  /** Only shots with at least so many open notes. */
  readonly notesFrom: number | null;
  readonly order: Order;
}

export const WIDE: Narrowing = {
  ...{ state: null, person: null, verdict: null, marginBelow: null, notesFrom: null },
  order: 'board',
};

/** Whether a narrowing hides anything. */
export const isNarrow = ({ order: _, ...rest }: Narrowing): boolean =>
  Object.values(rest).some((value) => value !== null);

/** The recorded reading of a shot's current draft. */
const readingOf = (shot: Shot, { drafts, history }: BoardFacts) =>
  history.get(drafts.get(shot.id)?.at(-1)?.id ?? '');

const notesOf = (shot: Shot, { openNotes }: BoardFacts): number => openNotes.get(shot.id) ?? 0;

/** Whether a shot passes; readings are those that the server recorded last. */
export function passes(shot: Shot, narrowing: Narrowing, facts: BoardFacts): boolean {
  const { state, person, verdict, marginBelow, notesFrom } = narrowing;
  const reading = readingOf(shot, facts);
  if (state !== null && shot.state !== state) return false;
  if (person !== null && (shot.assigned ?? '') !== person) return false;
  if (verdict !== null && reading?.verdict !== verdict) return false;
  if (marginBelow !== null && !((reading?.margin ?? Number.NaN) < marginBelow)) return false;
  return notesFrom === null || notesOf(shot, facts) >= notesFrom;
}

// From what needs somebody most to what needs nobody.
const URGENCY: readonly Verdict[] = ['falls', 'teeters', 'unknown', 'airborne', 'carried', 'held'];
const urgency = (verdict: Verdict | undefined): number =>
  verdict === undefined
    ? VERDICTS.length
    : (URGENCY.indexOf(verdict) + URGENCY.length + 1) % (URGENCY.length + 1);

/** Shots in an order; those alike stay as they hang on the board, those without a value come last. */
export function ordered(shots: readonly Shot[], order: Order, facts: BoardFacts): readonly Shot[] {
  if (order === 'board') return shots;
  const last = '\uffff';
  const keys: Readonly<Record<Exclude<Order, 'board'>, (shot: Shot) => string | number>> = {
    state: ({ state }) => SHOT_STATES.indexOf(state),
    person: (shot) => assignedName(shot, facts.names)?.toLowerCase() ?? last,
    due: ({ due }) => due ?? last,
    verdict: (shot) => urgency(readingOf(shot, facts)?.verdict),
    margin: (shot) => readingOf(shot, facts)?.margin ?? Number.POSITIVE_INFINITY,
    notes: (shot) => -notesOf(shot, facts),
  };
  const key = keys[order];
  return shots
    .map((shot) => ({ shot, by: key(shot) }))
    .sort((a, b) => (a.by < b.by ? -1 : a.by > b.by ? 1 : 0))
    .map(({ shot }) => shot);
}
