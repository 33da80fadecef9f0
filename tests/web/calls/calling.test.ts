import type { ReactiveController } from 'lit';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { putCall } from '../../../core/document/index.ts';
import { Calling } from '../../../web/calls/calling.ts';
import type { LiveDraft, Session } from '../../../web/session/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

/** A page on one draft of a shot on whose draft "called" a call is open, at frame 12. */
function page(draft: string) {
  const record = new Y.Doc();
  const frames: number[] = [];
  const scene = bentScene(0);
  const host = {
    session: { documents: { record }, review: 'r' } as unknown as Session,
    shotId: 'shot',
    live: { draft, scene, setFrame: (frame: number) => frames.push(frame) } as unknown as LiveDraft,
    addController: (controller: ReactiveController) => void controller,
    removeController: () => undefined,
    requestUpdate: () => undefined,
    updateComplete: Promise.resolve(true),
  };
  const calling = new Calling(host);
  const terms = { id: 'c', shot: 'shot', draft: 'called', frame: 12, by: 'lead', at: '' };
  putCall(record, { ...terms, guests: true, count: 0, state: 'open' });
  calling.hostUpdate();
  calling.hostUpdate();
  return { calling, frames, host };
}

describe('an open call', () => {
  it('goes to its frame and lays the cross beside the figures of its own draft', () => {
    const { calling, frames } = page('called');
    expect(calling.open?.id).toBe('c');
    expect(frames).toEqual([12]);
    expect(calling.centre).not.toBeNull();
  });

  it('leaves another draft of the shot at its frame, and begins once its own is shown', () => {
    const { calling, frames, host } = page('another');
    expect(calling.open?.id).toBe('c');
    expect(frames).toEqual([]);
    expect(calling.centre).toBeNull();
    host.live = { ...host.live, draft: 'called' };
    calling.hostUpdate();
    expect(frames).toEqual([12]);
    expect(calling.centre).not.toBeNull();
  });
});
