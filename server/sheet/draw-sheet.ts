import type { ReviewRecord, ShotRecord } from '../../core/document/index.ts';
import { verdictInk } from '../../core/drawing/index.ts';
import {
  type ContentsRow,
  type Cover,
  contentsOf,
  coverOf,
  SHEET_CAUTION,
  shotBlocks,
  type Weighed,
} from '../../core/sheet/index.ts';
import { Paper, type PaperName } from './paper.ts';
import { destinationOf, shotPages } from './shot-pages.ts';

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
 * The review sheet of a review as a PDF: who was there, contents, then each shot.
 * @param weigh weighs the current draft of a shot; null for a shot without drafts
 */
export async function drawSheet(
  review: ReviewRecord,
  weigh: (shot: ShotRecord) => Promise<Weighed | null>,
  { paper: name, at, onProgress = () => undefined }: SheetOptions,
): Promise<Uint8Array> {
  const title = `Review sheet: ${review.title}`;
  const paper = new Paper(name, { title, at });
  cover(paper, coverOf(review, at));
  const rows = contentsOf(review);
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
    shotPages(paper, shot, shotBlocks(shot, await weigh(shot), review.people));
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

function cover(paper: Paper, { title, made, counts, tally, people }: Cover): void {
  paper.write('Review sheet', { size: 12, ink: 'pencil', after: 4 });
  paper.write(title, { size: 26, face: 'bold', after: 6 });
  paper.rule('ink', 1.5);
  paper.write(made, { after: 8 });
  paper.write(counts, { after: 4 });
  paper.write(tally, { after: 14 });
  paper.write('Who was there', { size: 13, face: 'bold', after: 2 });
  paper.rule();
  if (people.length === 0) paper.write('Nobody has opened this review yet.', { ink: 'pencil' });
  for (const person of people) {
    paper.keepTogether(16);
    paper.write(person);
  }
}

function contents(
  paper: Paper,
  rows: readonly ContentsRow[],
  startsOn: ReadonlyMap<string, number>,
): void {
  paper.write('Contents', { size: 13, face: 'bold', after: 3 });
  paper.rule();
  const { left, width } = paper;
  for (const row of rows) {
    const y = paper.y + 2;
    if (row.kind === 'sequence') {
      paper.line(row.title, { x: left, y: y + 2, width }, { face: 'bold' });
    } else {
      paper.line(row.code, { x: left, y, width: 84 });
      paper.line(row.title, { x: left + 88, y, width: width - 88 - 216 });
      paper.line(row.state, { x: left + width - 208, y, width: 62 }, { ink: 'pencil' });
      if (row.margin !== null) {
        const place = { x: left + width - 144, y, width: 106 };
        paper.line(row.margin.text, place, { ink: verdictInk(row.margin.verdict) });
      }
      const page = String(startsOn.get(row.id) ?? '');
      paper.line(page, { x: left + width - 34, y, width: 34 }, { align: 'right' });
      paper.doc.goTo(left, y, width, ROW - 2, destinationOf(row));
    }
    paper.y = y - 2 + ROW;
  }
}
