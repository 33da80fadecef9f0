import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  assignedFor,
  assignedName,
  hasVisited,
  isDay,
  isOverdue,
  putVisit,
  readVisits,
} from '../../../core/document/index.ts';

const PEOPLE = new Map(
  [
    { id: 'p1', name: 'Ines Vale' },
    { id: 'p2', name: 'Joss Harrow' },
    { id: 'p3', name: 'Joss Harrow' },
  ].map((person) => [person.id, person]),
);

describe('who a shot is assigned to', () => {
  it('is the one person of that name, however it is written', () => {
    expect(assignedFor(' ines vale ', PEOPLE)).toBe('p1');
    expect(assignedName({ assigned: 'p1' }, PEOPLE)).toBe('Ines Vale');
  });

  it('stays a name where nobody, or more than one, is called so', () => {
    expect(assignedFor('Mara Quill', PEOPLE)).toBe('Mara Quill');
    expect(assignedFor('Joss Harrow', PEOPLE)).toBe('Joss Harrow');
    expect(assignedFor('  ', PEOPLE)).toBeNull();
  });
});

describe('the day a shot is due', () => {
  it('is one of the calendar', () => {
    expect(['2028-02-29', '2031-12-31'].every(isDay)).toBe(true);
    expect(['2027-02-29', '2031-13-01', '31.12.2031', '', null].some(isDay)).toBe(false);
  });

  it('has passed on the next day, but for a shot that is signed off', () => {
    const due = '2031-06-01';
    expect(isOverdue({ due, state: 'retake' }, '2031-06-01')).toBe(false);
    expect(isOverdue({ due, state: 'retake' }, '2031-06-02')).toBe(true);
    expect(isOverdue({ due, state: 'signed-off' }, '2031-06-02')).toBe(false);
  });
});

describe('visits', () => {
  it('are one for a person and a day, in the order of coming', () => {
    const record = new Y.Doc();
    putVisit(record, 'p2', '2031-06-01T09:00:00.000Z');
    putVisit(record, 'p1', '2031-06-01T08:00:00.000Z');
    expect(hasVisited(record, 'p1', '2031-06-01T23:00:00.000Z')).toBe(true);
    expect(hasVisited(record, 'p1', '2031-06-02T00:00:00.000Z')).toBe(false);
    expect(readVisits(record).map(({ day, person }) => [day, person])).toEqual([
      ['2031-06-01', 'p1'],
      ['2031-06-01', 'p2'],
    ]);
  });
});
