import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { addDraft, draftEntries, movingDraft, putKeys } from '../core/document/index.ts';
import { distance, type Vec3 } from '../core/geometry/index.ts';
import { weighClip } from '../core/motion/index.ts';
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

  it('keeps his feet on the deck, to a millimetre', () => {
    const moving = movingOf(1);
    const place = foot(moving.sceneAt(0));
    for (let frame = 1; frame < 44; frame++) {
      expect(distance(foot(moving.sceneAt(frame)), place), `frame ${frame}`).toBeLessThan(1e-3);
    }
  });
});
