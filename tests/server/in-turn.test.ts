import { expect, it } from 'vitest';
import { inTurn } from '../../server/in-turn.ts';

it('takes deeds one at a time in order, and goes on after one that fails', async () => {
  const oneAtATime = inTurn();
  const told: string[] = [];
  const deed = (name: string, fails = false) =>
    oneAtATime(async () => {
      told.push(`${name} begins`);
      await new Promise((resolve) => setImmediate(resolve));
      told.push(`${name} ends`);
      if (fails) throw new Error(name);
      return name;
    });
  const all = await Promise.allSettled([deed('first', true), deed('second'), deed('third')]);
  expect(all.map(({ status }) => status)).toEqual(['rejected', 'fulfilled', 'fulfilled']);
  expect(told).toEqual(
    ['first', 'second', 'third'].flatMap((name) => [`${name} begins`, `${name} ends`]),
  );
});
