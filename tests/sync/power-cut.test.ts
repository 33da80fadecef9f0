import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { draftEntries, sealDraft, setEntries } from '../../core/document/index.ts';
import { MESSAGE_RECENT, RECENT } from '../../core/protocol/index.ts';
import { SqliteUpdateStore } from '../../server/storage/sqlite-update-store.ts';
import type { DocumentKey } from '../../server/storage/update-store.ts';
import { Connection, MAX_MESSAGE_BYTES } from '../../server/sync/connection.ts';
import { Rooms } from '../../server/sync/rooms.ts';
import { type SentOn, Vouchers } from '../../server/sync/vouchers.ts';
import { RecentUpdates } from '../../web/session/recent-updates.ts';
import { masked, updateOf } from '../helpers/hostile.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { network } from '../helpers/peer-network.ts';

const USER = { source: 'user' } as const;
const DRAFT = 'pose';
const SCENES: DocumentKey = { review: 'r', document: 'scenes' };
const CHEST = 'figure/f/joint.chest';

const turn =
  (angle: number, joint = CHEST) =>
  (doc: Y.Doc): void =>
    setEntries(doc, DRAFT, { [joint]: angle }, USER);
const poseOf = (doc: Y.Doc): unknown => draftEntries(doc, DRAFT).toJSON();

describe('an edit that a power cut took from the server after others had seen it', () => {
  it('comes back with those who saw it, though its author does not', async () => {
    const net = await network(3, { seed: 1 });
    await net.settle();
    net.edit(0, turn(1));
    // Written and sent on, and then there.
    await net.travel();
    await net.travel();
    expect(poseOf(net.docs[1]!)).toEqual({ [CHEST]: 1 });
    expect(net.savedClock(0)).toBe(0);
    net.cutPower();
    expect(poseOf(await net.readBack())).toEqual({});
    // What was done meanwhile follows on it, and would not be taken without it.
    net.edit(1, turn(2));
    await net.heal(1);
    await net.heal(2);
    await net.settle();
    expect(poseOf(await net.readBack())).toEqual({ [CHEST]: 2 });
    expect(poseOf(net.docs[2]!)).toEqual({ [CHEST]: 2 });
    expect(Y.getState((await net.readBack()).store, 1000)).toBe(1);
  });
});

/** A room of a server that vouches as a given one, and somebody in it. */
async function roomOf(vouchers: Vouchers) {
  const clock = new ManualClock();
  const log = new KeptLog();
  const rooms = new Rooms(new SqliteUpdateStore(memoryDatabase(), clock, log), log, vouchers);
  const room = await rooms.acquire(SCENES);
  const closed: string[] = [];
  const guest = { id: 'g', name: 'G', ink: 0, role: 'guest' } as const;
  const connection = new Connection(room, guest, {
    bufferedAmount: 0,
    send: () => undefined,
    close: (_code, reason) => closed.push(reason),
  });
  const bring = (frame: Uint8Array): void => {
    const recent = new RecentUpdates(() => 0);
    recent.came(frame);
    connection.receive(recent.message()!);
  };
  return { room, bring, bytes: (message: Uint8Array) => connection.receive(message), closed };
}

const ours = new Vouchers('a secret', 'one');

describe('what is brought back', () => {
  const author = new Y.Doc();
  author.clientID = 77;
  const update = updateOf(author, turn(1));
  const sentOn: SentOn = { update, person: 'anna', authors: [{ client: 77, person: 'anna' }] };
  const frame = ours.frameOf(SCENES, sentOn);

  it('is taken under the name that wrote it, also from a guest', async () => {
    const { room, bring } = await roomOf(ours);
    bring(frame);
    expect(poseOf(room.doc)).toEqual({ [CHEST]: 1 });
    const next = updateOf(masked(author, 77), turn(5));
    const as = (person: string) => room.judge(next, { person, role: 'animator' });
    expect(as('bert')).toMatchObject({ kind: 'refused', reason: /somebody else’s name/ });
    expect(as('anna')).toMatchObject({ kind: 'pass' });
    bring(frame);
    expect(poseOf(room.doc)).toEqual({ [CHEST]: 1 });
  });

  const changed = (at: number): Uint8Array => {
    const copy = frame.slice();
    copy[at < 0 ? copy.length + at : at]! ^= 1;
    return copy;
  };
  it.each([
    ['another secret', new Vouchers('another', 'one').frameOf(SCENES, sentOn)],
    ['another history', new Vouchers('a secret', 'two').frameOf(SCENES, sentOn)],
    ['another document', ours.frameOf({ ...SCENES, document: 'notes' }, sentOn)],
    ['another review', ours.frameOf({ ...SCENES, review: 's' }, sentOn)],
    ['a changed name', changed(-18)],
    ['a changed edit', changed(12)],
    ['a changed tag', changed(-1)],
    ['half a frame', frame.slice(0, frame.length >> 1)],
    ['less than a tag', frame.slice(0, 3)],
    ['nothing', new Uint8Array()],
  ])('is passed over when it is of %s', async (_what, forged) => {
    const { room, bring, closed } = await roomOf(ours);
    bring(forged);
    expect(poseOf(room.doc)).toEqual({});
    expect(closed).toEqual([]);
  });

  it('does not change a draft that has been sealed since', async () => {
    const { room, bring } = await roomOf(ours);
    void room.write((doc) => sealDraft(doc, DRAFT, true, USER));
    bring(frame);
    expect(poseOf(room.doc)).toEqual({});
  });

  it('is passed over where its name is somebody else’s by now', async () => {
    const { room, bring } = await roomOf(ours);
    const thief = new Y.Doc();
    thief.clientID = 77;
    const theirs = updateOf(thief, turn(9, 'figure/f/joint.head'));
    const authors = [{ client: 77, person: 'bert' }];
    bring(ours.frameOf(SCENES, { update: theirs, person: 'bert', authors }));
    // The second edit of its author fits on the thief's first.
    const next = updateOf(author, turn(5, 'figure/f/joint.handL'));
    bring(ours.frameOf(SCENES, { ...sentOn, update: next }));
    expect(poseOf(room.doc)).toEqual({ 'figure/f/joint.head': 9 });
  });
});

describe('the updates that a window keeps', () => {
  const one = Uint8Array.of(0, 2, 1, 1);

  it('are those of the last seconds, both ways, in their order', () => {
    let now = 0;
    const recent = new RecentUpdates(() => now);
    expect(recent.message()).toBeNull();
    recent.came(one);
    now = 8000;
    recent.went(Uint8Array.of(7));
    now = 15_001;
    recent.came(one);
    const message = [MESSAGE_RECENT, RECENT.own, 1, 7, RECENT.sentOn, 4, ...one];
    expect([...(recent.message() ?? [])]).toEqual(message);
    // While nothing comes, as without a line, nothing grows old.
    now = 600_000;
    expect([...(recent.message() ?? [])]).toEqual(message);
  });

  it('fit into one message', () => {
    const recent = new RecentUpdates(() => 0);
    for (let index = 0; index < 10; index++) recent.came(new Uint8Array(1024 * 1024));
    expect(recent.message()?.byteLength).toBeLessThan(MAX_MESSAGE_BYTES);
    expect(recent.message()?.byteLength).toBeGreaterThan(3 * 1024 * 1024);
  });

  it('are turned away when they cannot be read', async () => {
    const { bytes, closed } = await roomOf(ours);
    bytes(Uint8Array.of(MESSAGE_RECENT, 2, 1, 0));
    expect(closed).toEqual(['the message could not be read']);
  });
});
