import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { addDraft, plainLink, putShot, setClip } from '../../core/document/index.ts';
import { readMoving } from '../../core/formats/index.ts';
import { weighClip, worstInMotion } from '../../core/motion/index.ts';
import { worstOfDraft } from '../../server/mechanics.ts';
import { smallClip } from '../helpers/small-clip.ts';

const EMPTY = { figures: [], loads: [], surfaces: [], grips: [] };
const LINK = plainLink({
  ...{ file: 'f', name: 'clip.bvh', format: 'bvh', stature: 1.7 },
  ...{ mass: 70, table: 'deleva-male' },
});

/** A draft that plays a clip of ours, with so many frames. */
async function playing(frames: number) {
  const text = smallClip(frames);
  const bytes = new TextEncoder().encode(text);
  const read = await readMoving(
    { bytes, text },
    { mass: 70, table: 'deleva-male', stature: 1.7, name: 'clip.bvh' },
  );
  if (!read.ok) throw new Error(read.message);
  const doc = new Y.Doc();
  putShot(doc, { id: 's', sequence: 'q', code: 'A', title: '' }, null);
  addDraft(doc, { id: 'd', shot: 's', from: null, title: '' }, EMPTY, null);
  setClip(doc, 'd', LINK, null);
  const { clip } = read;
  const weigh = (part: Partial<typeof clip> = {}, isStale?: () => boolean) =>
    worstOfDraft(
      { doc, review: 'r', draft: 'd', clip: LINK },
      { read: () => Promise.resolve({ ...clip, ...part }) },
      isStale,
    );
  return { clip, weigh };
}

/** Counts how often other things get their turn until it is asked. */
function turnsUntilAsked(): () => number {
  let turns = 0;
  let asked = false;
  const turn = (): void => {
    turns++;
    if (!asked) setImmediate(turn);
  };
  setImmediate(turn);
  return () => {
    asked = true;
    return turns;
  };
}

describe('the worst of a draft that plays a clip', () => {
  it('is what core finds, though other things get their turn meanwhile', async () => {
    const { clip, weigh } = await playing(60);
    const turns = turnsUntilAsked();
    const worst = await weigh();
    expect(turns()).toBeGreaterThan(3);
    expect(worst).toEqual(worstInMotion(weighClip(clip)));
  });

  it('is found in a clip of 10,000 frames', { timeout: 60_000 }, async () => {
    const { clip, weigh } = await playing(60);
    // It stands still for most of the clip and bends at its end, until it teeters.
    const [long, short] = [10_000, 260].map((frameCount) => ({
      frameCount,
      sceneAt: (frame: number) => clip.sceneAt(Math.max(0, frame - (frameCount - 60))),
    }));
    const turns = turnsUntilAsked();
    const worst = await weigh(long);
    // Two looks at every frame and the judging, 20 frames at a time.
    expect(turns()).toBeGreaterThan(1000);
    const { frame, ...same } = (await weigh(short))!;
    expect(same.verdict).toBe('teeters');
    expect(worst).toEqual({ ...same, frame: frame + 10_000 - 260 });
  });

  it('is given up where the draft has changed meanwhile', async () => {
    const { weigh } = await playing(60);
    let asked = 0;
    expect(await weigh({}, () => ++asked > 2)).toBeNull();
    expect(asked).toBe(3);
    const read = () => Promise.reject(new Error('nothing is to be read'));
    const place = { doc: new Y.Doc(), review: 'r', draft: 'd', clip: LINK };
    expect(await worstOfDraft(place, { read }, () => true)).toBeNull();
  });

  it('is not looked for where depth is open, or in a clip that would keep too much', async () => {
    const { weigh } = await playing(4);
    expect(await weigh({ judge: () => ({ verdict: 'unknown', sentence: '' }) })).toBeNull();
    expect(await weigh({ frameCount: 20_001 })).toBeNull();
  });
});
