/**
 * A shot list as a table of text, as spreadsheets write it: which column is what, and what each row
 * says. Splitting the file into cells is the caller's; core takes in no package for it.
 */
export const SHOT_COLUMNS = [
  ...(['sequence', 'code', 'title', 'state', 'assigned', 'due'] as const),
  ...(['first', 'last', 'frames', 'rate'] as const),
] as const;
export type ShotColumn = (typeof SHOT_COLUMNS)[number];

/** How the columns are called in lists that are written here, and in sentences. */
export const COLUMN_WORDS: Readonly<Record<ShotColumn, string>> = {
  sequence: 'Sequence',
  code: 'Code',
  title: 'Title',
  state: 'State',
  assigned: 'Assigned to',
  due: 'Due',
  first: 'First frame',
  last: 'Last frame',
  frames: 'Frames',
  rate: 'Frames per second',
};

/** Other names for columns (common practice, no source). */
const NAMES: Readonly<Record<ShotColumn, readonly string[]>> = {
  sequence: ['seq', 'sequence name'],
  code: ['shot', 'shot code', 'shot name', 'shot id', 'name'],
  title: ['description', 'desc', 'shot title', 'action'],
  state: ['status', 'shot state'],
  assigned: ['assigned', 'animator', 'artist', 'who', 'person'],
  due: ['due date', 'due day', 'deadline'],
  first: ['first', 'start', 'start frame', 'frame in', 'in'],
  last: ['last', 'end', 'end frame', 'frame out', 'out'],
  frames: ['frame count', 'length', 'duration', 'number of frames'],
  rate: ['fps', 'rate', 'frame rate'],
};

const plain = (text: string): string =>
  text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();

/** What each column of a header is taken for; null for what is left out. No column is taken twice. */
export function mapColumns(header: readonly string[]): (ShotColumn | null)[] {
  const taken = new Set<ShotColumn>();
  return header.map((cell) => {
    const name = plain(cell);
    const column = SHOT_COLUMNS.find(
      (known) =>
        !taken.has(known) && (plain(COLUMN_WORDS[known]) === name || NAMES[known].includes(name)),
    );
    if (column === undefined) return null;
    taken.add(column);
    return column;
  });
}

/** One row of a list. A field that the list has no column for, or leaves empty, is undefined. */
export interface ListedShot {
  /** Row of the file, the header being 1. */
  readonly row: number;
  readonly code: string;
  readonly sequence?: string;
  readonly title?: string;
  readonly state?: string;
  readonly assigned?: string;
  /** `YYYY-MM-DD`. */
  readonly due?: string;
  /** First and last frame, inclusive. */
  readonly frames?: readonly [first: number, last: number];
  /** Frames per second. */
  readonly rate?: number;
}

export interface ListProblem {
  /** Row of the file; null: the list as a whole. */
  readonly row: number | null;
  /** What is wrong and how to mend it, one sentence. */
  readonly message: string;
}

export interface ShotList {
  readonly columns: readonly (ShotColumn | null)[];
  readonly shots: readonly ListedShot[];
  readonly problems: readonly ListProblem[];
}

/** What separates the cells of a list, told by its header: comma, semicolon or tab. */
export function separatorOf(text: string): ',' | ';' | '\t' {
  const header = /^(?:"(?:[^"]|"")*"|[^"\n])*/.exec(text)?.[0] ?? '';
  const bare = header.replace(/"(?:[^"]|"")*"/g, '');
  const count = (sign: string): number => bare.split(sign).length;
  const signs = [',', ';', '\t'] as const;
  return signs.reduce((best, sign) => (count(sign) > count(best) ? sign : best));
}

/** The most shots that a list may have. */
export const MAX_LISTED = 2000;

/**
 * Reads a shot list. Rows without any text are passed over.
 * @param table all rows, the header first
 * @param states what may stand in the state column
 * @param columns what the columns are, where that is not to be told by the header
 */
export function readShotList(
  table: readonly (readonly string[])[],
  states: readonly string[],
  columns: readonly (ShotColumn | null)[] = mapColumns(table[0] ?? []),
): ShotList {
  const problems: ListProblem[] = [];
  const shots: ListedShot[] = [];
  if (table.length === 0) problems.push({ row: null, message: 'The list is empty.' });
  else if (!columns.includes('code')) {
    const message = 'No column is the code of the shots: choose which one is.';
    problems.push({ row: 1, message });
  } else {
    const seen = new Map<string, number>();
    for (const [index, cells] of table.entries()) {
      if (index === 0 || cells.every((cell) => cell.trim() === '')) continue;
      const row = index + 1;
      const tell = (message: string): void => void problems.push({ row, message });
      const shot = readRow(row, cells, columns, states, tell);
      if (shot === null) continue;
      const earlier = seen.get(shot.code);
      if (earlier !== undefined) tell(`The code ${shot.code} is in row ${earlier} already.`);
      seen.set(shot.code, row);
      shots.push(shot);
    }
    if (shots.length === 0 && problems.length === 0) {
      problems.push({ row: null, message: 'The list has a header and no shots.' });
    }
  }
  if (shots.length > MAX_LISTED) {
    problems.push({ row: null, message: `A list may have ${MAX_LISTED} shots; cut it in two.` });
  }
  return { columns, shots, problems };
}

type Tell = (message: string) => void;

function readRow(
  row: number,
  cells: readonly string[],
  columns: readonly (ShotColumn | null)[],
  states: readonly string[],
  tell: Tell,
): ListedShot | null {
  const cell = (column: ShotColumn): string | undefined => {
    const text = unguarded(cells[columns.indexOf(column)] ?? '').trim();
    return columns.includes(column) && text !== '' ? text : undefined;
  };
  const text = (column: ShotColumn, longest: number): string | undefined => {
    const value = cell(column);
    if (value !== undefined && value.length > longest) {
      tell(`${COLUMN_WORDS[column]} has more than ${longest} letters.`);
    }
    return value;
  };
  if (cells.length > columns.length && cells.slice(columns.length).some((extra) => extra !== '')) {
    tell(`It has ${cells.length} cells, the header ${columns.length}: a separator is too many.`);
  }
  const code = text('code', 64);
  if (code === undefined) {
    tell('It has no code.');
    return null;
  }
  const sequence = text('sequence', 120);
  const title = text('title', 120);
  const assigned = text('assigned', 80);
  const state = readState(cell('state'), states, tell);
  const due = readDay(cell('due'), tell);
  const frames = readFrames(cell, tell);
  const rate = readNumber(cell('rate'), 'rate', tell);
  if (rate !== undefined && !(rate > 0 && rate <= 1000)) {
    tell(`Frames per second cannot be ${rate}.`);
  }
  return {
    ...{ row, code },
    ...(sequence === undefined ? {} : { sequence }),
    ...(title === undefined ? {} : { title }),
    ...(assigned === undefined ? {} : { assigned }),
    ...(state === undefined ? {} : { state }),
    ...(due === undefined ? {} : { due }),
    ...(frames === undefined ? {} : { frames }),
    ...(rate === undefined ? {} : { rate }),
  };
}

/** Takes off the apostrophe that writeCsv puts before what looks like a formula. */
const unguarded = (text: string): string => (/^'+[=+\-@\t\r]/.test(text) ? text.slice(1) : text);

function readState(
  text: string | undefined,
  states: readonly string[],
  tell: Tell,
): string | undefined {
  if (text === undefined) return undefined;
  const state = states.find((known) => plain(known) === plain(text));
  if (state === undefined) {
    tell(`The state "${text}" is none of ${states.map(plain).join(', ')}.`);
  }
  return state;
}

function readDay(text: string | undefined, tell: Tell): string | undefined {
  if (text === undefined) return undefined;
  const iso = /^(\d{4})[-/](\d{1,2})[-/](\d{1,2})$/.exec(text);
  const dotted = /^(\d{1,2})\.(\d{1,2})\.(\d{4})$/.exec(text);
  const [year, month, date] = iso ? iso.slice(1) : dotted ? dotted.slice(1).reverse() : [];
  const two = (part = ''): string => part.padStart(2, '0');
  const day = `${year}-${two(month)}-${two(date)}`;
  const time = Date.parse(`${day}T00:00:00Z`);
  if (Number.isFinite(time) && new Date(time).toISOString().startsWith(day)) return day;
  tell(`The day "${text}" cannot be read: write it as 2031-06-30.`);
  return undefined;
}

function readNumber(text: string | undefined, column: ShotColumn, tell: Tell): number | undefined {
  if (text === undefined) return undefined;
  // A decimal comma, as spreadsheets of half of Europe write it.
  const value = /^[-+]?\d+([.,]\d+)?$/.test(text) ? Number(text.replace(',', '.')) : Number.NaN;
  if (Number.isFinite(value)) return value;
  tell(`${COLUMN_WORDS[column]} is no number: "${text}".`);
  return undefined;
}

function readFrames(
  cell: (column: ShotColumn) => string | undefined,
  tell: Tell,
): readonly [number, number] | undefined {
  const first = readNumber(cell('first'), 'first', tell);
  const last = readNumber(cell('last'), 'last', tell);
  const count = readNumber(cell('frames'), 'frames', tell);
  if (first === undefined && last === undefined && count === undefined) return undefined;
  const from = first ?? 1;
  const to = last ?? (count === undefined ? from : from + count - 1);
  if (![from, to].every(Number.isInteger)) tell('Frames are whole numbers.');
  else if (to < from) tell(`The last frame, ${to}, is before the first, ${from}.`);
  return [from, to];
}
