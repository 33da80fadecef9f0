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
  const weigh = (part: Partial<typeof clip> = {}) =>
    worstOfDraft(
      { doc, review: 'r', draft: 'd', clip: LINK },
      { read: () => Promise.resolve({ ...clip, ...part }) },
    );
  return { clip, weigh };
}

describe('the worst of a draft that plays a clip', () => {
  it('is what core finds, though other things get their turn meanwhile', async () => {
    const { clip, weigh } = await playing(60);
    let turns = 0;
    let done = false;
    const turn = (): void => {
      turns++;
      if (!done) setImmediate(turn);
    };
    setImmediate(turn);
    const worst = await weigh();
    done = true;
    expect(worst).toEqual(worstInMotion(weighClip(clip)));
    expect(turns).toBeGreaterThan(3);
  });

  it('is not looked for where depth is open, or in a clip that would keep the server', async () => {
    const { weigh } = await playing(4);
    expect(await weigh({ judge: () => ({ verdict: 'unknown', sentence: '' }) })).toBeNull();
    expect(await weigh({ frameCount: 3001 })).toBeNull();
  });
});
