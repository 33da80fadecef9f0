import { describe, expect, it } from 'vitest';
import type * as Y from 'yjs';
import {
  addDraft,
  type Decision,
  putSequence,
  putShot,
  readDecisions,
  readShots,
  type Shot,
} from '../../core/document/index.ts';
import { SERVER_ORIGIN } from '../../server/sync/room.ts';
import { recorderSetUp, settled, timeAt } from '../helpers/recorder-set-up.ts';

const USER = { source: 'user' } as const;

/** A review with one shot that has one draft, put in by the server. */
async function withShot(
  state: Shot['state'] = 'in-work',
  settings: Parameters<typeof recorderSetUp>[0] = {},
) {
  const set = await recorderSetUp(settings);
  await set.rooms.with({ review: 'r', document: 'scenes' }, (room) => {
    void room.write((doc) => {
      putSequence(doc, { id: 'q', title: 'The quay', order: 'a0' }, SERVER_ORIGIN);
      putShot(doc, { id: 's', sequence: 'q', order: 'a0', code: 'QY 010', state }, SERVER_ORIGIN);
      const figure = {
        id: 'f',
        name: 'Porter',
        body: { table: 'deleva-male', stature: 1.7, mass: 60 },
        pose: { position: [0, 1, 0], rotation: [0, 0, 0, 1], joints: {} },
        contacts: {},
      } as const;
      const scene = { figures: [figure], loads: [], surfaces: [], grips: [] };
      addDraft(doc, { id: 'd', shot: 's', from: null, title: '' }, scene, SERVER_ORIGIN);
    });
  });
  return set;
}

const setState = (doc: Y.Doc, state: Shot['state']): void => putShot(doc, { id: 's', state }, USER);

describe('decisions', () => {
  it('say who set which state when, on which draft, and how it balanced', async () => {
    const { clock, record, open } = await withShot();
    const lead = await open('ada', 'scenes', 'lead');
    setState(lead.doc, 'for-review');
    clock.advance(60_000);
    setState(lead.doc, 'signed-off');
    expect(readDecisions(record)).toMatchObject([
      { shot: 's', draft: 'd', from: 'in-work', to: 'for-review', by: 'ada' },
      {
        ...{ shot: 's', draft: 'd', from: 'for-review', to: 'signed-off', by: 'ada' },
        at: timeAt(clock),
        reading: { verdict: 'holds', margin: 0.06 },
      },
    ]);
  });

  it('are told to others once they are on disk, and not before', async () => {
    const told: string[] = [];
    const onDecided = (review: string, decisions: readonly Decision[]): void => {
      told.push(...decisions.map(({ to }) => `${review} ${to}`));
    };
    const { clock, record, open } = await withShot('in-work', { onDecided });
    const lead = await open('ada', 'scenes', 'lead');
    setState(lead.doc, 'for-review');
    await settled();
    expect(readDecisions(record)).toHaveLength(1);
    expect(told).toEqual([]);
    clock.advance(10);
    await settled();
    expect(told).toEqual(['r for-review']);
  });

  it('are not made by a shot that comes onto the board, nor by the server itself', async () => {
    const { record, rooms, open } = await withShot();
    const ada = await open('ada', 'scenes');
    putShot(ada.doc, { id: 't', sequence: 'q', order: 'a1', state: 'in-work' }, USER);
    await rooms.with({ review: 'r', document: 'scenes' }, (room) => {
      void room.write((doc) => putShot(doc, { id: 's', state: 'retake' }, SERVER_ORIGIN));
    });
    expect(readDecisions(record)).toEqual([]);
  });
});

describe('the gate before shots', () => {
  const stateIn = async ({ rooms }: Awaited<ReturnType<typeof withShot>>) =>
    rooms.with({ review: 'r', document: 'scenes' }, ({ doc }) => readShots(doc)[0]);

  it('lets a lead alone sign off, and take a sign-off back', async () => {
    const set = await withShot();
    const animator = await set.open('bo', 'scenes', 'animator');
    setState(animator.doc, 'signed-off');
    expect((await stateIn(set))?.state).toBe('in-work');
    const lead = await set.open('ada', 'scenes', 'lead');
    setState(lead.doc, 'signed-off');
    expect((await stateIn(set))?.state).toBe('signed-off');
    const other = await set.open('cy', 'scenes', 'animator');
    setState(other.doc, 'retake');
    expect((await stateIn(set))?.state).toBe('signed-off');
    setState(lead.doc, 'retake');
    expect((await stateIn(set))?.state).toBe('retake');
  });

  it.each([
    ['assigned', 'x'.repeat(81)],
    ['assigned', 7],
    ['due', 'soon'],
    ['due', '2031-02-30'],
    ['state', 'done'],
  ])('refuses the %s %j', async (field, value) => {
    const set = await withShot();
    const animator = await set.open('bo', 'scenes', 'animator');
    animator.doc.transact(() => animator.doc.getMap('shots').set(`s/${field}`, value), USER);
    expect(await stateIn(set)).toMatchObject({ state: 'in-work', assigned: null, due: null });
  });

  it('takes a person and a day from an animator', async () => {
    const set = await withShot();
    const animator = await set.open('bo', 'scenes', 'animator');
    putShot(animator.doc, { id: 's', assigned: 'ada', due: '2031-06-01' }, USER);
    expect(await stateIn(set)).toMatchObject({ assigned: 'ada', due: '2031-06-01' });
    putShot(animator.doc, { id: 's', assigned: null, due: null }, USER);
    expect(await stateIn(set)).toMatchObject({ assigned: null, due: null });
  });
});
