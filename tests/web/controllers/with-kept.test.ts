import { expect, it } from 'vitest';
import { withKept } from '../../../web/controllers/with-kept.ts';

interface Link {
  readonly id: string;
  readonly link: string | null;
}

it('a link that is made while the list comes keeps its address, whether the list knows it or not', () => {
  const made: Link = { id: 'b', link: '/join/b' };
  const old: Link = { id: 'a', link: null };
  expect(withKept([made], [{ id: 'b', link: null }, old])).toEqual([made, old]);
  expect(withKept([made], [old])).toEqual([made, old]);
  expect(withKept([], [old])).toEqual([old]);
});
