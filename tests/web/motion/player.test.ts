import type { ReactiveController } from 'lit';
import { describe, expect, it } from 'vitest';
import { Player } from '../../../web/motion/player.ts';

/** A player on a page whose animation frames come at times that the test gives, milliseconds. */
function onPage(frame = 0) {
  const shown: number[] = [];
  let due: ((now: number) => void) | null = null;
  const host = {
    frame,
    go: (at: number) => shown.push(at),
    addController: (_: ReactiveController) => undefined,
    removeController: () => undefined,
    requestUpdate: () => undefined,
    updateComplete: Promise.resolve(true),
  };
  const player = new Player(host, (step) => {
    due = step;
    return 1;
  });
  const at = (...times: number[]): void => {
    for (const now of times) due?.(now);
  };
  return { player, shown, at };
}

describe('playing', () => {
  it('shows every frame where the browser keeps up, and stops at the end', () => {
    const { player, shown, at } = onPage();
    player.start({ rate: 10, from: 0, to: 3 });
    at(1000, 1100, 1200, 1300);
    expect(shown).toEqual([0, 1, 2, 3]);
    expect(player.leftOut).toBe(0);
  });

  it('leaves frames out rather than play them late, and counts them', () => {
    const { player, shown, at } = onPage();
    player.start({ rate: 10, from: 0, to: 20 });
    at(0, 50, 500, 510, 900);
    expect(shown).toEqual([0, 5, 9]);
    expect(player.leftOut).toBe(4 + 3);
  });

  it('begins at the frame shown when it lies in the stretch, else at its first', () => {
    for (const [frame, first] of [
      [7, 7],
      [2, 5],
      [9, 5],
    ] as const) {
      const { player, shown, at } = onPage(frame);
      player.start({ rate: 10, from: 5, to: 9 });
      at(0);
      expect(shown).toEqual([first]);
    }
  });

  it('goes round in a loop', () => {
    const { player, shown, at } = onPage(5);
    player.loop = true;
    player.start({ rate: 10, from: 5, to: 7 });
    at(0, 100, 200, 300, 400, 900);
    expect(shown).toEqual([5, 6, 7, 5, 6, 5]);
    expect(player.leftOut).toBe(4);
  });
});
