import { describe, expect, it } from 'vitest';
import type { Way, WaysBack } from '../../../core/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { Looking } from '../../../web/bench/ways-looking.ts';

const scene = (): Scene => ({ figures: [], loads: [], surfaces: [], grips: [] });
const none: Way = { strategy: 'hips', cannot: 'no' };
const answer = { sentence: 'None of these can.' } as WaysBack;

/** A search whose time and answers are in our hands. */
function bench() {
  const asked: {
    figure: string;
    onWay: (way: Way) => void;
    signal: AbortSignal;
    end: (ways: WaysBack) => void;
    fail: (cause: unknown) => void;
  }[] = [];
  const waits: (() => void)[] = [];
  const looking = new Looking(
    (_, figure, options) =>
      new Promise((end, fail) => {
        asked.push({ figure, ...options, end, fail });
      }),
    () => undefined,
    (work) => {
      waits.push(work);
      return () => waits.splice(waits.indexOf(work), 1);
    },
  );
  return { looking, asked, settle: () => waits.splice(0).forEach((work) => void work()) };
}

describe('looking for ways back', () => {
  it('begins when nothing has moved for a while, and tells of each way as it comes', async () => {
    const { looking, asked, settle } = bench();
    const now = scene();
    looking.look(now, 'ada', true);
    settle();
    expect(asked).toHaveLength(0);
    looking.look(now, 'ada', false);
    looking.look(now, 'ada', false);
    settle();
    expect(asked.map(({ figure }) => figure)).toEqual(['ada']);
    expect(looking.phase).toBe('looking');
    asked[0]!.onWay(none);
    expect(looking.ways).toEqual([none]);
    asked[0]!.end(answer);
    await Promise.resolve();
    expect([looking.phase, looking.result, looking.scene]).toEqual(['done', answer, now]);
  });

  it('gives up what is not asked any more, and takes none of its ways', () => {
    const { looking, asked, settle } = bench();
    looking.look(scene(), 'ada', false);
    settle();
    looking.look(scene(), 'ada', false);
    expect(asked[0]!.signal.aborted).toBe(true);
    asked[0]!.onWay(none);
    expect(looking.ways).toEqual([]);
    settle();
    expect(asked).toHaveLength(2);
  });

  it('stops on a word and looks again on another', () => {
    const { looking, asked, settle } = bench();
    const now = scene();
    looking.look(now, 'ada', false);
    settle();
    looking.stop();
    expect([looking.phase, asked[0]!.signal.aborted]).toEqual(['stopped', true]);
    looking.look(now, 'ada', false);
    settle();
    expect(asked).toHaveLength(1);
    looking.again();
    expect([looking.phase, asked.length]).toEqual(['looking', 2]);
  });

  it('says why it failed', async () => {
    const { looking, asked, settle } = bench();
    looking.look(scene(), 'ada', false);
    settle();
    asked[0]!.fail(new Error('The reckoning stopped.'));
    await Promise.resolve();
    await Promise.resolve();
    expect([looking.phase, looking.fault]).toEqual(['failed', 'The reckoning stopped.']);
  });
});
