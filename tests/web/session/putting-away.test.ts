import { describe, expect, it } from 'vitest';
import { PuttingAway } from '../../../web/session/putting-away.ts';

describe('copies that are put away after a refusal', () => {
  it('are made once a document, and the page opens afresh after the last', async () => {
    const away = new PuttingAway();
    const made: string[] = [];
    const ends: Record<string, () => void> = {};
    const put = (document: 'scenes' | 'notes') =>
      away.once(document, () => {
        made.push(document);
        return new Promise((resolve) => {
          ends[document] = resolve;
        });
      });
    const scenes = put('scenes');
    const again = put('scenes');
    const notes = put('notes');
    expect(away.busy).toBe(true);
    ends.scenes?.();
    expect([await scenes, await again]).toEqual([false, false]);
    expect(away.busy).toBe(true);
    ends.notes?.();
    expect(await notes).toBe(true);
    expect(made).toEqual(['scenes', 'notes']);
    expect(away.busy).toBe(false);
  });
});
