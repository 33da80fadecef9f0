import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  draftEntries,
  figureFields,
  figureKey,
  readKeys,
  setEntries,
} from '../../../core/document/index.ts';
import { keyedPatch, keyOf, keyRow, movedKey } from '../../../web/motion/keying.ts';
import type { LiveDraft } from '../../../web/session/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

const DRAFT = 'draft';
const SCENE = bentScene(0);
const PORTER = SCENE.figures[0]!;
const HIPS = figureKey(PORTER.id, 'position');

/** A draft of one figure on a frame, with what the helpers of keys ask of a live draft. */
function draft() {
  const doc = new Y.Doc();
  const session = { documents: { scenes: doc }, drag: null as LiveDraft['session']['drag'] };
  const live = { session, draft: DRAFT, frame: 0 } as unknown as LiveDraft & { frame: number };
  const write = (patch: Readonly<Record<string, unknown>>): void =>
    setEntries(doc, DRAFT, patch, null);
  write({ [figureKey(PORTER.id)]: 1 });
  for (const [field, value] of Object.entries(figureFields(PORTER)))
    write({ [figureKey(PORTER.id, field)]: value });
  const keys = () => readKeys(draftEntries(doc, DRAFT)).get(PORTER.id) ?? [];
  const stored = () => readKeys(draftEntries(doc, DRAFT));
  const pose = (at: number) => keyedPatch(live, { [HIPS]: [at, 1, 0] }, () => SCENE);
  return {
    ...{ doc, session, live, write, keys, stored, pose },
    /** What setting a key on the frame shown writes. */
    set: () => write(keyRow(keyOf(live, PORTER, stored()))),
  };
}

describe('keys as they are written', () => {
  it('makes one key of a drag, however often the hand moves', () => {
    const { live, session, write, keys, pose, set } = draft();
    set();
    live.frame = 8;
    for (const at of [0.1, 0.2, 0.3])
      session.drag = { draft: DRAFT, entries: pose(at) as Record<string, unknown> };
    write(session.drag!.entries);
    expect(keys().map(({ frame, pose: { position } }) => [frame, position[0]])).toEqual([
      [0, PORTER.pose.position[0]],
      [8, 0.3],
    ]);
  });

  it('leaves a key that was moved away alone when another is set where it was', () => {
    const { live, doc, write, keys, pose, set } = draft();
    set();
    live.frame = 8;
    write(pose(0.3));
    write(movedKey(draftEntries(doc, DRAFT), keys()[1]!, 20));
    write(pose(0.5));
    expect(keys().map(({ frame, pose: { position } }) => [frame, position[0]])).toEqual([
      [0, PORTER.pose.position[0]],
      [8, 0.5],
      [20, 0.3],
    ]);
    // The same for a key set by its button.
    write(movedKey(draftEntries(doc, DRAFT), keys()[0]!, 3));
    live.frame = 0;
    set();
    expect(keys().map(({ frame }) => frame)).toEqual([0, 3, 8, 20]);
  });

  it('does not take a key away that is already where it is dragged to', () => {
    const { doc, keys, set, write } = draft();
    set();
    const key = keys()[0]!;
    write(movedKey(draftEntries(doc, DRAFT), key, 5));
    // The key as it was when it was taken hold of, over entries that show it where the hand is.
    write(movedKey(draftEntries(doc, DRAFT), key, 5));
    expect(keys().map(({ frame }) => frame)).toEqual([5]);
  });
});
