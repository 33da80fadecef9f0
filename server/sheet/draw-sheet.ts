import { VERDICTS, type Verdict } from '../../core/balance/types.ts';
import {
  type ReviewRecord,
  SHOT_STATES,
  type ShotRecord,
  stateWord,
} from '../../core/document/index.ts';
import { VERDICT_WORDS, verdictInk } from '../../core/drawing/index.ts';
import { marginWords } from './margin-words.ts';
import { Paper, type PaperName } from './paper.ts';
import { destinationOf, shotPages, type Weighed } from './shot-pages.ts';
import { dayText, timeText } from './times.ts';

/** At the foot of every page. */
export const SHEET_CAUTION =
  'For drawn and animated figures only: no safety assessment of real people. Local codes and licensed practice decide.';

export interface SheetOptions {
  readonly paper: PaperName;
  /** When the sheet is made. */
  readonly at: Date;
  /** Called before each shot and at the end, with how many are done. */
  readonly onProgress?: (done: number) => void;
}

/** Rows of the contents have this height, points. */
const ROW = 17;
/** Height of what stands above the rows of the contents. */
const HEAD = 32;

/**
 * The review sheet of a review as a PDF: who was there, contents, then each shot with its drawings,
 * readings, balance history, decisions and notes.
 * @param weigh weighs the current draft of a shot; null for a shot without drafts
 */
export async function drawSheet(
  review: ReviewRecord,
  weigh: (shot: ShotRecord) => Promise<Weighed | null>,
  { paper: name, at, onProgress = () => undefined }: SheetOptions,
): Promise<Uint8Array> {
  const title = `Review sheet: ${review.title}`;
  const paper = new Paper(name, { title, at });
  cover(paper, review, at);
  const rows = contentsRows(review);
  // On the cover where there is room for all of it, else on pages of its own.
  paper.y += 12;
  const isShort = paper.y + HEAD + rows.length * ROW <= paper.bottom;
  if (!isShort) paper.newPage();
  const firstContents = paper.pageCount - 1;
  const top = paper.y;
  const perPage = isShort ? rows.length : Math.floor((paper.bottom - top - HEAD) / ROW);
  const pages = isShort ? 1 : Math.ceil(rows.length / perPage);
  for (let extra = 1; extra < pages; extra++) paper.newPage();
  const startsOn = new Map<string, number>();
  for (const [index, shot] of review.shots.entries()) {
    onProgress(index);
    startsOn.set(shot.id, paper.pageCount + 1);
    shotPages(paper, shot, await weigh(shot), review.people);
  }
  onProgress(review.shots.length);
  for (let page = 0; page < pages; page++) {
    paper.doc.switchToPage(firstContents + page);
    paper.y = top;
    contents(paper, rows.slice(page * perPage, (page + 1) * perPage), startsOn);
  }
  paper.footers(SHEET_CAUTION, review.title);
  return paper.end();
}

const plural = (count: number, one: string): string =>
  count === 1 ? `1 ${one}` : `${count} ${one}s`;

function cover(paper: Paper, review: ReviewRecord, at: Date): void {
  paper.write('Review sheet', { size: 12, ink: 'pencil', after: 4 });
  paper.write(review.title, { size: 26, face: 'bold', after: 6 });
  paper.rule('ink', 1.5);
  const notes = review.shots.flatMap((shot) => shot.notes);
  const open = notes.filter(({ state }) => state === 'open').length;
  paper.write(`Made ${timeText(at.toISOString())}`, { after: 8 });
  paper.write(
    `${plural(review.shots.length, 'shot')} in ${plural(review.sequences.length, 'sequence')}; ` +
      `${plural(notes.length, 'note')}, ${open} open.`,
    { after: 4 },
  );
  paper.write(tally(review), { after: 14 });
  paper.write('Who was there', { size: 13, face: 'bold', after: 2 });
  paper.rule();
  if (review.people.length === 0)
    paper.write('Nobody has opened this review yet.', { ink: 'pencil' });
  for (const person of review.people) {
    const days = review.visits.filter(({ person: id }) => id === person.id).map(({ day }) => day);
    const first = days[0];
    const last = days.at(-1);
    const when =
      first === undefined || last === undefined
        ? 'no visit written down'
        : first === last
          ? `here on ${dayText(first)}`
          : `here on ${plural(days.length, 'day')}, ${dayText(first)} to ${dayText(last)}`;
    paper.keepTogether(16);
    paper.write(`${person.name}, ${person.role}; ${when}`);
  }
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

type Row =
  | { readonly kind: 'sequence'; readonly title: string }
  | { readonly kind: 'shot'; readonly shot: ShotRecord };

const contentsRows = ({ sequences, shots }: ReviewRecord): Row[] =>
  sequences.flatMap(({ id, title }): Row[] => {
    const own = shots.filter(({ sequence }) => sequence === id);
    if (own.length === 0) return [];
    return [{ kind: 'sequence', title }, ...own.map((shot) => ({ kind: 'shot' as const, shot }))];
  });

function contents(paper: Paper, rows: readonly Row[], startsOn: ReadonlyMap<string, number>): void {
  paper.write('Contents', { size: 13, face: 'bold', after: 3 });
  paper.rule();
  const { left, width } = paper;
  for (const row of rows) {
    const y = paper.y + 2;
    if (row.kind === 'sequence') {
      paper.line(row.title, { x: left, y: y + 2, width }, { face: 'bold' });
    } else {
      const { shot } = row;
      const reading = shot.drafts.at(-1)?.reading;
      paper.line(shot.code, { x: left, y, width: 84 });
      paper.line(shot.title, { x: left + 88, y, width: width - 88 - 216 });
      paper.line(stateWord(shot.state), { x: left + width - 208, y, width: 62 }, { ink: 'pencil' });
      if (reading) {
        const place = { x: left + width - 144, y, width: 106 };
        paper.line(marginWords(reading), place, { ink: verdictInk(reading.verdict) });
      }
      const page = String(startsOn.get(shot.id) ?? '');
      paper.line(page, { x: left + width - 34, y, width: 34 }, { align: 'right' });
      paper.doc.goTo(left, y, width, ROW - 2, destinationOf(shot));
    }
    paper.y = y - 2 + ROW;
  }
}
