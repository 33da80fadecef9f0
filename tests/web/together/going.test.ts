import { describe, expect, it } from 'vitest';
import { readPresence } from '../../../core/document/index.ts';
import type { Other } from '../../../web/session/index.ts';
import { leaderOf, windowOf } from '../../../web/together/going.ts';

let client = 1;
function here(person: string, shown: Partial<Other> = {}): Other {
  const presence = readPresence({ person, name: person.toUpperCase() });
  if (presence === null) throw new Error('not a presence');
  return { ...presence, client: client++, role: 'animator', ...shown };
}

describe('whose window one sees', () => {
  it('is that of the person one goes with', () => {
    const others = [here('ada'), here('bo')];
    expect(leaderOf(others, 'me', 'bo')?.person).toBe('bo');
    expect(leaderOf(others, 'me', null)).toBeNull();
    expect(leaderOf(others, 'me', 'cy')).toBeNull();
  });

  it('is the first of the chain where people go with people who go with others', () => {
    const others = [here('ada', { with: 'bo' }), here('bo', { with: 'cy' }), here('cy')];
    expect(leaderOf(others, 'me', 'ada')?.person).toBe('cy');
  });

  it("is nobody's where the chain comes back, so that no ring drives itself", () => {
    expect(leaderOf([here('ada', { with: 'me' })], 'me', 'ada')).toBeNull();
    const ring = [here('ada', { with: 'bo' }), here('bo', { with: 'ada' })];
    expect(leaderOf(ring, 'me', 'ada')).toBeNull();
  });

  it('is, of several windows of a person, the one with their pointer, else one on a shot', () => {
    const board = here('ada');
    const bench = here('ada', { shot: 's' });
    const pointer = here('ada', { shot: 't', cursor: { view: 'plan', point: [0, 0, 0] } });
    expect(windowOf([board, bench, pointer], 'ada')).toBe(pointer);
    expect(windowOf([board, bench], 'ada')).toBe(bench);
    expect(windowOf([board], 'ada')).toBe(board);
  });
});
