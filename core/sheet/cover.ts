import { VERDICTS, type Verdict } from '../balance/types.ts';
import { type ReviewRecord, SHOT_STATES, type ShotRecord, stateWord } from '../document/index.ts';
import { VERDICT_WORDS } from '../drawing/index.ts';
import { marginWords } from './margin-words.ts';
import { dayText, timeText } from './times.ts';
import type { ContentsRow, Cover } from './types.ts';

const plural = (count: number, one: string): string =>
  count === 1 ? `1 ${one}` : `${count} ${one}s`;

/** What the first page of a sheet says. @param at when the sheet is made */
export function coverOf(review: ReviewRecord, at: Date): Cover {
  const notes = review.shots.flatMap((shot) => shot.notes);
  const open = notes.filter(({ state }) => state === 'open').length;
  return {
    title: review.title,
    made: `Made ${timeText(at.toISOString())}`,
    counts:
      `${plural(review.shots.length, 'shot')} in ${plural(review.sequences.length, 'sequence')}; ` +
      `${plural(notes.length, 'note')}, ${open} open.`,
    tally: tally(review),
    people: review.people.map(({ id, name, role }) => {
      const days = review.visits.filter(({ person }) => person === id).map(({ day }) => day);
      return `${name}, ${role}; ${visitWords(days)}`;
    }),
  };
}

function visitWords(days: readonly string[]): string {
  const [first, last] = [days[0], days.at(-1)];
  if (first === undefined || last === undefined) return 'no visit written down';
  if (first === last) return `here on ${dayText(first)}`;
  return `here on ${plural(days.length, 'day')}, ${dayText(first)} to ${dayText(last)}`;
}

/** How many shots are in which state, and how their current drafts settled. */
function tally({ shots }: ReviewRecord): string {
  const states = SHOT_STATES.map((state) => ({
    count: shots.filter((shot) => shot.state === state).length,
    word: stateWord(state),
  }));
  const verdictOf = (shot: ShotRecord): Verdict | undefined => shot.drafts.at(-1)?.reading?.verdict;
  const verdicts = VERDICTS.map((verdict) => ({
    count: shots.filter((shot) => verdictOf(shot) === verdict).length,
    word: VERDICT_WORDS[verdict],
  }));
  const list = (of: readonly { count: number; word: string }[]): string =>
    of
      .filter(({ count }) => count > 0)
      .map(({ count, word }) => `${count} ${word}`)
      .join(', ');
  const said = [list(states), list(verdicts)].filter((words) => words !== '');
  return said.length === 0 ? '' : `${said.join('. Current drafts: ')}.`;
}

/** The contents of a sheet: sequences that have shots, with these. */
export const contentsOf = ({ sequences, shots }: ReviewRecord): ContentsRow[] =>
  sequences.flatMap(({ id, title }): ContentsRow[] => {
    const own = shots.filter(({ sequence }) => sequence === id);
    return own.length === 0 ? [] : [{ kind: 'sequence', title }, ...own.map(shotRow)];
  });

function shotRow({ id, code, title, state, drafts }: ShotRecord): ContentsRow {
  const reading = drafts.at(-1)?.reading ?? null;
  return {
    ...{ kind: 'shot', id, code, title, state: stateWord(state) },
    margin: reading && { text: marginWords(reading), verdict: reading.verdict },
  };
}
