import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import {
  COLUMN_WORDS,
  type ListedShot,
  mapColumns,
  readShotList,
  separatorOf,
  writeCsv,
} from '../../../core/formats/index.ts';

const STATES = ['in-work', 'for-review', 'retake', 'signed-off'];

const problemsOf = (...rows: string[][]): string[] =>
  readShotList(rows, STATES).problems.map(({ row, message }) => `${row}: ${message}`);

describe('a shot list', () => {
  it('is read by the names that columns usually have, and says what it leaves out', () => {
    const header = ['Seq', 'SHOT CODE', 'Description', 'Status', 'Artist', 'Due date', 'Vendor'];
    expect(mapColumns(header)).toEqual([
      ...['sequence', 'code', 'title', 'state', 'assigned', 'due', null],
    ]);
    const row = ['Quay', 'QY 010', 'Lifts', 'For Review', 'Ada Fenn', '30.6.2031', 'x'];
    expect(readShotList([header, row, ['', ' ']], STATES)).toMatchObject({
      problems: [],
      shots: [
        {
          ...{ row: 2, sequence: 'Quay', code: 'QY 010', title: 'Lifts', state: 'for-review' },
          ...{ assigned: 'Ada Fenn', due: '2031-06-30' },
        },
      ],
    });
  });

  it('takes a column twice for nothing, and can be told otherwise', () => {
    const table = [
      ['Name', 'Shot'],
      ['The rope', 'FER-0010'],
    ];
    expect(mapColumns(table[0] ?? [])).toEqual(['code', null]);
    expect(readShotList(table, STATES, ['title', 'code']).shots).toEqual([
      { row: 2, title: 'The rope', code: 'FER-0010' },
    ]);
  });

  it('tells frames by first and last, or by their number', () => {
    const header = ['Code', 'First', 'Last', 'Frames', 'fps'];
    const shots = readShotList(
      [header, ['a', '1001', '1048', '', '23,976'], ['b', '', '', '36', '']],
      STATES,
    ).shots;
    expect(shots).toEqual([
      { row: 2, code: 'a', frames: [1001, 1048], rate: 23.976 },
      { row: 3, code: 'b', frames: [1, 36] },
    ]);
  });

  it('tells every problem with its row', () => {
    const header = ['Code', 'State', 'Due', 'First', 'Last', 'Fps'];
    expect(
      problemsOf(
        header,
        ['', 'retake', '', '', '', ''],
        ['a', 'wip', '31.2.2031', '9', '3', 'fast'],
        ['a', '', '', '1.5', '2', '0'],
        ['b', '', '', '', '', '', 'more'],
      ),
    ).toEqual([
      '2: It has no code.',
      '3: The state "wip" is none of in work, for review, retake, signed off.',
      '3: The day "31.2.2031" cannot be read: write it as 2031-06-30.',
      '3: The last frame, 3, is before the first, 9.',
      '3: Frames per second is no number: "fast".',
      '4: Frames are whole numbers.',
      '4: Frames per second cannot be 0.',
      '4: The code a is in row 3 already.',
      '5: It has 7 cells, the header 6: a separator is too many.',
    ]);
    expect(problemsOf(['Title'], ['The rope'])).toEqual([
      '1: No column is the code of the shots: choose which one is.',
    ]);
    expect(problemsOf(['Code'])).toEqual(['null: The list has a header and no shots.']);
    expect(problemsOf()).toEqual(['null: The list is empty.']);
  });
});

// Text as people type it into one line of a cell: spaces at the ends are not part of what it says.
const word = fc
  .string({ unit: 'grapheme', minLength: 1, maxLength: 40 })
  .map((text) => text.replace(/[\p{Cc}\p{Zl}\p{Zp}\ufeff]/gu, '').trim())
  .filter((text) => text !== '');
const formula = fc.constantFrom(
  '=1+1',
  "'=x",
  '-5',
  '+a',
  '@b',
  "''@c",
  'a,b',
  'a;b',
  'say "a"',
  'a\tb',
);

const listed: fc.Arbitrary<Omit<ListedShot, 'row' | 'code'>> = fc.record(
  {
    sequence: word,
    title: fc.oneof(word, formula),
    state: fc.constantFrom(...STATES),
    assigned: fc.oneof(word, formula),
    due: fc
      .date({ min: new Date('2000-01-01'), max: new Date('2100-01-01'), noInvalidDate: true })
      .map((date) => date.toISOString().slice(0, 10)),
    frames: fc
      .tuple(fc.integer({ min: -200, max: 9000 }), fc.integer({ min: 0, max: 9000 }))
      .map(([first, more]) => [first, first + more] as const),
    rate: fc.constantFrom(12, 23.976, 24, 25, 59.94),
  },
  { requiredKeys: [] },
);

describe('what separates the cells', () => {
  it.each([
    ['Code,Title\n', ','],
    ['Code;Title\nA;"x, y"\n', ';'],
    ['Code\tTitle\n', '\t'],
    ['"Code; of, the, shot";Title\n', ';'],
    ['Code', ','],
  ])('of %j is %j', (text, sign) => {
    expect(separatorOf(text)).toBe(sign);
  });
});

describe('a list that goes out and comes back', () => {
  // papaparse splits what writeCsv joined: it cannot share a mistake of ours about quoting.
  it.each([',', ';', '\t'])('says the same, whatever is in it, separated by %j', (delimiter) => {
    const columns = (['sequence', 'code', 'title', 'state', 'assigned', 'due'] as const).concat();
    fc.assert(
      fc.property(fc.array(listed, { minLength: 2, maxLength: 8 }), fc.boolean(), (items, mark) => {
        const shots = items.map((item, index) => ({ ...item, code: `C-${index}` }));
        const header = [...columns, 'first', 'last', 'rate'] as const;
        const rows = shots.map((shot) => [
          ...columns.map((column) => shot[column] ?? null),
          ...[shot.frames?.[0] ?? null, shot.frames?.[1] ?? null, shot.rate ?? null],
        ]);
        const csv = writeCsv(
          header.map((column) => COLUMN_WORDS[column]),
          rows,
        );
        // Another separator: the cells of the one file, joined anew by the other side.
        const text =
          delimiter === ','
            ? csv
            : Papa.unparse(Papa.parse<string[]>(csv.trimEnd()).data, { delimiter, quotes: true });
        const { data } = Papa.parse<string[]>(`${mark ? '\ufeff' : ''}${text}`, {
          delimiter: separatorOf(text),
        });
        const back = readShotList(data, STATES);
        expect(back.problems).toEqual([]);
        expect(back.shots.map(({ row: _, ...shot }) => shot)).toEqual(shots);
      }),
      { numRuns: 150, seed: 20310512 },
    );
  });
});
