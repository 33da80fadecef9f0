import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { draftEntries, setEntries } from '../../core/document/index.ts';
import { counted } from '../helpers/counted.ts';
import { type Network, network } from '../helpers/peer-network.ts';
import { random } from '../helpers/random.ts';

const DRAFT = 'pose';
const USER = { source: 'user' } as const;

const turnJoint = (network: Network, peer: number, joint: string, angle: number): void =>
  network.edit(peer, (doc) => setEntries(doc, DRAFT, { [`figure/f/joint.${joint}`]: angle }, USER));

const poseOf = (doc: Y.Doc): unknown =>
  Object.fromEntries([...draftEntries(doc, DRAFT).entries()].sort(([a], [b]) => (a < b ? -1 : 1)));

describe('peers over a network that breaks', () => {
  it('end equal after each was cut off while both edited', async () => {
    const net = await network(3, { seed: 1 });
    turnJoint(net, 0, 'chest', 1);
    await net.settle();
    net.partition(1);
    turnJoint(net, 0, 'head', 2);
    turnJoint(net, 1, 'handL', 3);
    await net.settle();
    expect(poseOf(net.docs[2]!)).toEqual({ 'figure/f/joint.chest': 1, 'figure/f/joint.head': 2 });
    await net.heal(1);
    await net.settle();
    const all = {
      'figure/f/joint.chest': 1,
      'figure/f/joint.head': 2,
      'figure/f/joint.handL': 3,
    };
    expect(net.docs.map(poseOf)).toEqual([all, all, all]);
    expect(poseOf(await net.readBack())).toEqual(all);
  });

  it('keep an edit that reached nobody when the server was killed, and send it again', async () => {
    const net = await network(2, { seed: 2 });
    await net.settle();
    turnJoint(net, 0, 'chest', 1);
    net.crash();
    expect(poseOf(await net.readBack())).toEqual({});
    await net.heal(0);
    await net.heal(1);
    await net.settle();
    expect(poseOf(net.docs[1]!)).toEqual({ 'figure/f/joint.chest': 1 });
  });

  it('confirm nothing as saved before its commit', async () => {
    const net = await network(1, { seed: 3 });
    await net.settle();
    turnJoint(net, 0, 'chest', 1);
    // All frames are delivered, but the clock that commits has not moved.
    await net.deliver(20);
    expect(net.savedClock(0)).toBe(0);
    await net.settle();
    expect(net.savedClock(0)).toBe(1);
  });

  // A thousand seeds in groups, so that a failure names its group and its seed.
  const groups = Array.from({ length: 20 }, (_, group) => 4000 + group * 50);
  it.each(groups)(
    'converge and lose nothing that was confirmed (50 seeds from %i)',
    async (from) => {
      for (let seed = from; seed < from + 50; seed++) await shuffled(seed);
      counted('network seeds', 50);
    },
  );
});

/** Peers edit while lines break, are delayed, repeat themselves, and the server is killed. */
async function shuffled(seed: number): Promise<void> {
  const draw = random(seed);
  const pick = <T>(list: readonly T[]): T => list[Math.floor(draw() * list.length)]!;
  const count = 2 + Math.floor(draw() * 4);
  const net = await network(count, { seed, repeats: seed % 2 === 0 ? 0.05 : 0 });
  const peers = Array.from({ length: count }, (_, index) => index);
  for (let step = 0; step < 60; step++) {
    const chance = draw();
    if (chance < 0.45) {
      const joint = pick(['chest', 'head', 'handL', 'handR', 'footL', 'pelvis']);
      turnJoint(net, pick(peers), joint, Math.floor(draw() * 1000));
    } else if (chance < 0.5) {
      net.edit(pick(peers), (doc) => draftEntries(doc, DRAFT).clear());
    } else if (chance < 0.75) await net.deliver(1 + Math.floor(draw() * 8));
    else if (chance < 0.85) net.partition(pick(peers));
    else if (chance < 0.95) await net.heal(pick(peers));
    else if (chance < 0.97) await net.settle();
    else {
      const promised = peers.map((peer) => net.savedClock(peer));
      if (draw() < 0.5) net.crash();
      else net.cutPower();
      const disk = await net.readBack();
      for (const peer of peers) {
        const kept = Y.getState(disk.store, 1000 + peer);
        expect(kept, `seed ${seed}: peer ${peer}`).toBeGreaterThanOrEqual(promised[peer]!);
      }
    }
  }
  for (const peer of peers) await net.heal(peer);
  await net.settle();
  const disk = await net.readBack();
  for (const doc of net.docs) {
    expect(poseOf(doc), `seed ${seed}`).toEqual(poseOf(disk));
    expect(Y.encodeStateVector(doc).length, `seed ${seed}`).toBe(Y.encodeStateVector(disk).length);
    expect(Y.decodeStateVector(Y.encodeStateVector(doc)), `seed ${seed}`).toEqual(
      Y.decodeStateVector(Y.encodeStateVector(disk)),
    );
  }
}
