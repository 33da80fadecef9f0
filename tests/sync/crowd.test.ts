import { expect, it } from 'vitest';
import type * as Y from 'yjs';
import { draftEntries, readPeople, setEntries } from '../../core/document/index.ts';
import { random } from '../helpers/random.ts';
import { startServer } from '../helpers/served.ts';
import { docUntil, saved, stockClient, synced } from '../helpers/sync-client.ts';

const USER = { source: 'user' } as const;
const SEED = 60;

it('60 people are in one review, of whom 12 edit, and all end with the same pose', async () => {
  const server = await startServer();
  const draw = random(SEED);
  const cookies = await Promise.all(
    Array.from({ length: 60 }, (_, index) => server.joinAs(index < 12 ? 'animator' : 'guest')),
  );
  const clients = cookies.map((cookie) => stockClient({ ...server, cookie, document: 'scenes' }));
  try {
    await Promise.all(clients.map(synced));
    const writers = clients.slice(0, 12);
    for (let round = 0; round < 20; round++) {
      for (const [index, { doc }] of writers.entries()) {
        const joint = Math.floor(draw() * 6);
        const entries = {
          [`figure/porter/joint.${joint}`]: [round, index, 0, 1],
          [`load/l${index}`]: 1,
          [`load/l${index}/mass`]: round,
        };
        setEntries(doc, 'qy-010-1', entries, USER);
      }
    }
    await Promise.all(writers.map((writer) => saved(writer)));
    const rested = (doc: Y.Doc) => (): boolean =>
      writers.every((_, index) => draftEntries(doc, 'qy-010-1').get(`load/l${index}/mass`) === 19);
    await Promise.all(
      clients.map(({ doc }) => docUntil(doc, rested(doc), 'the last edits of all twelve')),
    );
    const poses = clients.map(({ doc }) => draftEntries(doc, 'qy-010-1').toJSON());
    for (const pose of poses) expect(pose, `seed ${SEED}`).toEqual(poses[0]);
  } finally {
    for (const client of clients) client.destroy();
  }
  const record = stockClient({ ...server, cookie: cookies[0]!, document: 'record' });
  try {
    await synced(record);
    const people = [...readPeople(record.doc).values()];
    // Two of the small review, sixty guests, each with a name of their own.
    expect(people).toHaveLength(62);
    expect(new Set(people.map(({ name }) => name)).size).toBe(62);
    expect(new Set(people.slice(0, 12).map(({ ink }) => ink)).size).toBeGreaterThanOrEqual(10);
  } finally {
    record.destroy();
  }
}, 60_000);
