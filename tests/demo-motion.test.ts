import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { addDraft, draftEntries, movingDraft, putKeys } from '../core/document/index.ts';
import { distance, type Vec3 } from '../core/geometry/index.ts';
import { weighClip, worstInMotion } from '../core/motion/index.ts';
import { posedFigures, type Scene } from '../core/scene/index.ts';
import { ferrymanKeyed } from '../demo-data/shots/ben-0115.ts';

const { frames, rate, drafts } = ferrymanKeyed;

function movingOf(index: number) {
  const draft = drafts[index]!;
  const doc = new Y.Doc();
  addDraft(doc, { id: 'd', shot: 's', from: null, title: '' }, draft.scene, null);
  putKeys(doc, 'd', draft.keys ?? [], null);
  const moving = movingDraft(new Map(draftEntries(doc, 'd').entries()), null, { rate, frames });
  if (moving === null) throw new Error('no keys');
  return moving;
}

const foot = (scene: Scene): Vec3 => posedFigures(scene).get('ferryman')!.segments.footL.position;

describe('the ferryman in motion', () => {
  it('falls back where he rises slowly', () => {
    const { counts } = weighClip(movingOf(0));
    expect(counts.falls ?? 0).toBeGreaterThan(0);
  });

  it('is carried by his speed where he rises quickly, and falls in no frame', () => {
    const { counts } = weighClip(movingOf(1));
    expect(counts.carried ?? 0).toBeGreaterThan(0);
    expect(counts.falls ?? 0).toBe(0);
  });

  it('is told in one verdict by its worst frame', () => {
    const [slow, quick] = [weighClip(movingOf(0)), weighClip(movingOf(1))];
    expect(worstInMotion(slow)).toEqual({
      ...{ verdict: 'falls', frame: slow.worst, frames: slow.counts.falls },
    });
    // On its way from what speed carries to what holds it is in the outer part of the support for a moment.
    const outer = quick.frames.find(({ verdict }) => verdict === 'teeters');
    expect(worstInMotion(quick)).toEqual({
      ...{ verdict: 'teeters', frame: outer?.frame, frames: quick.counts.teeters },
    });
  });

  it('tells the end of a walk, of which nothing can be told, only where there is nothing else', () => {
    const quick = weighClip(movingOf(1));
    const only = (verdict: 'unknown' | 'carried') =>
      quick.frames
        .filter((frame) => frame.verdict === 'carried')
        .map((frame) => ({ ...frame, verdict }));
    const mixed = [...only('unknown'), ...only('carried')];
    expect(worstInMotion({ ...quick, frames: mixed }).verdict).toBe('carried');
    expect(worstInMotion({ ...quick, frames: only('unknown') }).verdict).toBe('unknown');
  });

  it('keeps his feet on the deck, to a millimetre', () => {
    const moving = movingOf(1);
    const place = foot(moving.sceneAt(0));
    for (let frame = 1; frame < 44; frame++) {
      expect(distance(foot(moving.sceneAt(frame)), place), `frame ${frame}`).toBeLessThan(1e-3);
    }
  });
});
