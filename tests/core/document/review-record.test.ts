import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import {
  bringList,
  gatherReview,
  notesCsv,
  readDrafts,
  readScene,
  readSequences,
  readShots,
  SHOT_STATES,
  shotsCsv,
} from '../../../core/document/index.ts';
import { readShotList } from '../../../core/formats/index.ts';
import { toldReview } from '../../helpers/told-review.ts';

const USER = { source: 'user' } as const;

describe('what a review says', () => {
  it('is gathered with names, times and numbers', () => {
    const { title, people, visits, shots } = gatherReview(toldReview());
    expect(title).toBe('Łódź by night');
    expect(people.map(({ name }) => name)).toEqual(['Ada Fenn', 'Bo Marl']);
    expect(visits).toEqual([{ day: '2031-05-12', person: 'ada', at: '2031-05-12T09:00:00.000Z' }]);
    expect(shots.map(({ code }) => code)).toEqual(['QY-0001', 'QY-0002']);
    expect(shots[0]).toMatchObject({
      ...{ sequenceTitle: 'The quay', assignedName: 'Ada Fenn' },
      drafts: [{ number: 1, reading: { verdict: 'teeters', margin: 0.012 } }],
      decisions: [{ from: 'in-work', to: 'for-review', name: 'Ada Fenn', draftNumber: 1 }],
      notes: [
        {
          ...{ number: 1, name: 'Ada Fenn', draftNumber: 1, state: 'answered' },
          stateBy: { name: 'Bo Marl', at: '2031-05-12T09:21:00.000Z' },
          replies: [{ name: 'Bo Marl', text: 'Back they go.' }],
        },
      ],
    });
  });

  it('goes out as CSV of shots with their readings, and comes back as a list', () => {
    const docs = toldReview();
    const { data } = Papa.parse<string[]>(shotsCsv(gatherReview(docs)).trimEnd());
    const [header = [], first = []] = data;
    const cell = (name: string): string | undefined => first[header.indexOf(name)];
    expect(cell('Verdict')).toBe('teeters');
    expect(cell('Margin cm')).toBe('1.2');
    expect(cell('Support cm2')).toBe('400');
    expect(cell('Notes')).toBe('1');
    const { shots, problems } = readShotList(data, SHOT_STATES);
    expect(problems).toEqual([]);
    const empty = toldReview(0).scenes;
    const people = new Map([['ada', { id: 'ada', name: 'Ada Fenn' }]]);
    let next = 0;
    const newId = (): string => `new${next++}`;
    bringList(empty, shots, { people, otherwise: 'Brought in', newId }, USER);
    const terms = ({
      code,
      title,
      state,
      assigned,
      due,
      frames,
      rate,
    }: (typeof before)[number]) => ({
      ...{ code, title, state, assigned, due, frames, rate },
    });
    const before = readShots(docs.scenes);
    expect(readShots(empty).map(terms)).toEqual(before.map(terms));
    expect(readSequences(empty).map(({ title }) => title)).toEqual(['The quay']);
  });

  it('goes out as CSV of notes with their replies', () => {
    const docs = toldReview();
    const csv = notesCsv(gatherReview(docs), (draft) => readScene(docs.scenes, draft));
    const [header = [], row = []] = Papa.parse<string[]>(csv.trimEnd()).data;
    expect(Object.fromEntries(header.map((name, index) => [name, row[index]]))).toMatchObject({
      ...{ Shot: 'QY-0001', Number: '1', Draft: '1', Frame: '12', Weight: 'must' },
      ...{
        About: 'left hand of Figure',
        'Written by': 'Ada Fenn',
        Replies: 'Bo Marl: Back they go.',
      },
    });
  });
});

describe('a list that is brought onto a board', () => {
  const bring = (rows: string[][]) => {
    const { scenes } = toldReview();
    const { shots } = readShotList(rows, SHOT_STATES);
    let next = 0;
    const settings = { people: new Map(), otherwise: 'Else', newId: () => `new${next++}` };
    return { scenes, plan: bringList(scenes, shots, settings, USER) };
  };

  it('makes sequences, shots and a first draft that stands, in the order of the list', () => {
    const { scenes, plan } = bring([
      ['Sequence', 'Code'],
      ['The loft', 'LF-2'],
      ['The quay', 'QY-9'],
      ['The loft', 'LF-1'],
    ]);
    expect(plan.added).toHaveLength(3);
    expect(readSequences(scenes).map(({ title }) => title)).toEqual(['The quay', 'The loft']);
    const loft = readSequences(scenes)[1]?.id;
    const codes = (sequence?: string) =>
      readShots(scenes).flatMap((shot) => (shot.sequence === sequence ? [shot.code] : []));
    expect(codes('q')).toEqual(['QY-0001', 'QY-0002', 'QY-9']);
    expect(codes(loft)).toEqual(['LF-2', 'LF-1']);
    const shot = readShots(scenes).find(({ code }) => code === 'LF-2');
    const [draft] = readDrafts(scenes, shot?.id);
    expect(readScene(scenes, draft?.id ?? '').figures).toHaveLength(1);
  });

  it('changes shots that are there only in what it says, and keeps their drafts', () => {
    const { scenes, plan } = bring([
      ['Code', 'State', 'Title'],
      ['QY-0001', 'Retake', ''],
    ]);
    expect(plan).toMatchObject({ added: [], changed: [{ shot: { id: 's1' } }] });
    expect(readShots(scenes)[0]).toMatchObject({
      ...{ id: 's1', state: 'retake', title: 'Shot number 1', due: '2031-06-01' },
    });
    expect(readDrafts(scenes, 's1')).toHaveLength(1);
  });
});
