import { COLUMN_WORDS, type CsvCell, SHOT_COLUMNS, writeCsv } from '../formats/index.ts';
import type { Scene } from '../scene/types.ts';
import { pinLabel } from './pin-words.ts';
import { type ReviewRecord, type ShotRecord, stateWord } from './review-record.ts';

/** Behind the columns that a list is read by, what the review knows of a shot. */
const READINGS = [
  ...['Draft', 'Draft title', 'Verdict', 'Margin cm', 'Margin ratio', 'Centre height cm'],
  ...['Support cm2', 'Contacts', 'Worst in motion', 'Worst frame', 'Weighed at'],
  ...['Notes', 'Open notes'],
] as const;

/** The shots of a review as CSV: a shot list that can be brought in again, with the readings behind it. */
export function shotsCsv({ shots }: Pick<ReviewRecord, 'shots'>): string {
  const listed = SHOT_COLUMNS.filter((column) => column !== 'frames');
  const header = [...listed.map((column) => COLUMN_WORDS[column]), ...READINGS];
  return writeCsv(
    header,
    shots.map((shot) => [...listedCells(shot), ...readingCells(shot)]),
  );
}

const listedCells = (shot: ShotRecord): CsvCell[] => [
  shot.sequenceTitle,
  shot.code,
  shot.title,
  stateWord(shot.state),
  shot.assignedName,
  shot.due,
  shot.frames[0],
  shot.frames[1],
  shot.rate,
];

/** Rounded to a tenth: what can be read off a drawing. */
const tenth = (value: number | null | undefined, scale: number): number | null =>
  value === null || value === undefined ? null : Math.round(value * scale * 10) / 10;

function readingCells({ drafts, notes, frames: [first] }: ShotRecord): CsvCell[] {
  const draft = drafts.at(-1);
  const reading = draft?.reading ?? null;
  const moving = reading?.moving;
  return [
    draft?.number ?? null,
    draft?.title ?? null,
    reading?.verdict ?? null,
    tenth(reading?.margin, 100),
    reading?.ratio == null ? null : Math.round(reading.ratio * 1000) / 1000,
    tenth(reading?.centre?.[1], 100),
    tenth(reading?.area, 10_000),
    reading?.contacts ?? null,
    moving?.verdict ?? null,
    moving === undefined ? null : moving.frame + first,
    reading?.at ?? null,
    notes.length,
    notes.filter(({ state }) => state === 'open').length,
  ];
}

const NOTE_HEADER = [
  ...['Shot', 'Number', 'Draft', 'Frame', 'About', 'Weight', 'State', 'Written by', 'Written at'],
  ...['Why it is kept', 'Asked of', 'State set by', 'State set at', 'Text', 'Replies'],
];

/**
 * The notes of a review as CSV, one a row, its replies in one cell, a line each.
 * @param sceneOf the scene of a draft, for the names of things
 */
export function notesCsv(
  { shots }: Pick<ReviewRecord, 'shots'>,
  sceneOf: (draft: string) => Scene,
): string {
  const rows = shots.flatMap((shot) =>
    shot.notes.map((note): CsvCell[] => [
      shot.code,
      note.number,
      note.draftNumber,
      note.frame,
      pinLabel(sceneOf(note.draft), note.pin),
      note.weight,
      note.state,
      note.name,
      note.at,
      note.reason || null,
      note.askedName,
      note.stateBy?.name ?? null,
      note.stateBy?.at ?? null,
      note.text,
      note.replies.map(({ name, text }) => `${name}: ${text}`).join('\n'),
    ]),
  );
  return writeCsv(NOTE_HEADER, rows);
}
