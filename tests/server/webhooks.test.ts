import { createHmac } from 'node:crypto';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Decision } from '../../core/document/index.ts';
import { ReviewStore } from '../../server/storage/review-store.ts';
import { makePost, type Post } from '../../server/webhooks/post.ts';
import { isPublicAddress } from '../../server/webhooks/public-address.ts';
import { WebhookStore } from '../../server/webhooks/webhook-store.ts';
import { RETRY_AFTER_MS, signatureOf, Webhooks } from '../../server/webhooks/webhooks.ts';
import { KeptLog } from '../helpers/kept-log.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { memoryDatabase } from '../helpers/memory-store.ts';
import { startServer } from '../helpers/served.ts';
import { within } from '../helpers/waiting.ts';

const DECISION: Decision = {
  ...{ id: 'd1', shot: 's', draft: 'd', from: 'for-review', to: 'signed-off', by: 'ada' },
  ...{ at: '2031-05-12T09:00:00.000Z', reading: null },
};

/** Webhooks of one review with an other side that answers as told. */
function setUp(answers: (number | Error)[]) {
  const clock = new ManualClock();
  const log = new KeptLog();
  const database = memoryDatabase();
  const reviews = new ReviewStore(database, clock);
  reviews.addReview('Small review', 'r');
  reviews.addPerson('r', { id: 'ada', name: 'Ada Fenn', role: 'lead', ink: 3 });
  const store = new WebhookStore(database, clock);
  const hook = store.add('r', 'https://hooks.example.org/told', 'ada');
  const sent: { at: number; headers: Readonly<Record<string, string>>; body: string }[] = [];
  const post: Post = async (_url, headers, body) => {
    sent.push({ at: clock.now(), headers, body });
    const answer = answers.shift() ?? 204;
    if (answer instanceof Error) throw answer;
    return answer;
  };
  const make = () => new Webhooks({ store, post, clock, log });
  return { clock, database, log, store, hook, sent, webhooks: make(), make };
}

/** Lets time pass, and what falls due be answered. */
async function pass({ clock }: { clock: ManualClock }, webhooks: Webhooks, ms: number) {
  clock.advance(ms);
  await webhooks.settled();
}

describe('webhooks', () => {
  it('are told of a decision, signed with their secret over the time and the body', async () => {
    const set = setUp([]);
    set.webhooks.decided('r', [DECISION]);
    // Nothing is sent in the turn in which somebody decides: their work does not wait for it.
    expect(set.sent).toEqual([]);
    await pass(set, set.webhooks, 0);
    const [message] = set.sent;
    const seconds = set.clock.now() / 1000;
    const right = createHmac('sha256', set.hook.secret)
      .update(`${seconds}.${message?.body}`)
      .digest('hex');
    expect(message?.headers['counterlean-signature']).toBe(`t=${seconds},v1=${right}`);
    expect(JSON.parse(message?.body ?? '')).toMatchObject({
      ...{ event: 'shot.state', review: 'r', shot: 's', from: 'for-review', to: 'signed-off' },
    });
    expect(set.store.deliveries('r', set.hook.id)).toMatchObject([
      { tries: 1, status: 204, fault: null, nextAt: null },
    ]);
    expect(signatureOf('other', message?.body ?? '', seconds)).not.toContain(right);
  });

  it('go on once there is room again to write down what became of them', async () => {
    const set = setUp([204, 204]);
    set.webhooks.decided('r', [DECISION]);
    // As SQLite itself answers a write for which there is no room.
    set.database.exec(`CREATE TRIGGER no_room BEFORE UPDATE ON webhook_deliveries
      BEGIN SELECT raise(ABORT, 'disk full'); END`);
    await pass(set, set.webhooks, 0);
    expect(set.log.problems.join()).toMatch(/could not be kept.*disk full/s);
    await pass(set, set.webhooks, RETRY_AFTER_MS[0] - 1);
    expect(set.sent).toHaveLength(1);
    set.database.exec('DROP TRIGGER no_room');
    await pass(set, set.webhooks, 1);
    expect(set.sent).toHaveLength(2);
    expect(set.store.deliveries('r', set.hook.id)).toMatchObject([{ tries: 1, nextAt: null }]);
  });

  it('are tried again at growing distances, and given up after the last', async () => {
    const faults = Array.from({ length: 6 }, (_, index) =>
      index % 2 === 0 ? new Error('nobody answers') : 503,
    );
    const set = setUp(faults);
    set.webhooks.decided('r', [DECISION]);
    await pass(set, set.webhooks, 0);
    for (const wait of RETRY_AFTER_MS) {
      const before = set.sent.length;
      await pass(set, set.webhooks, wait - 1);
      expect(set.sent).toHaveLength(before);
      await pass(set, set.webhooks, 1);
      expect(set.sent).toHaveLength(before + 1);
    }
    await pass(set, set.webhooks, 100 * 3_600_000);
    expect(set.sent).toHaveLength(1 + RETRY_AFTER_MS.length);
    expect(set.store.deliveries('r', set.hook.id)).toMatchObject([
      { tries: 6, status: 503, fault: 'it answered 503', nextAt: null },
    ]);
  });

  it('stop being tried as soon as one try arrives', async () => {
    const set = setUp([500, 200]);
    set.webhooks.decided('r', [DECISION]);
    await pass(set, set.webhooks, 0);
    await pass(set, set.webhooks, RETRY_AFTER_MS[0]);
    await pass(set, set.webhooks, 100 * 3_600_000);
    expect(set.sent).toHaveLength(2);
    expect(set.store.deliveries('r', set.hook.id)).toMatchObject([{ tries: 2, fault: null }]);
  });

  it('go on after a restart with what was still to be told', async () => {
    const set = setUp([new Error('nobody answers')]);
    set.webhooks.decided('r', [DECISION]);
    await pass(set, set.webhooks, 0);
    await set.webhooks.close();
    const again = set.make();
    await pass(set, again, RETRY_AFTER_MS[0]);
    expect(set.store.deliveries('r', set.hook.id)).toMatchObject([{ tries: 2, fault: null }]);
  });

  it('of another review, and those that were taken away, are told nothing', async () => {
    const set = setUp([]);
    set.webhooks.decided('other', [DECISION]);
    set.webhooks.decided('r', [DECISION]);
    expect(set.store.remove('other', set.hook.id)).toBe(false);
    expect(set.store.remove('r', set.hook.id)).toBe(true);
    await pass(set, set.webhooks, 0);
    expect(set.sent).toEqual([]);
  });

  it('keep a list of what they were told that does not grow for ever', async () => {
    const set = setUp([]);
    for (let index = 0; index < 70; index++) {
      set.webhooks.decided('r', [{ ...DECISION, id: `d${index}` }]);
      await pass(set, set.webhooks, 1000);
    }
    expect(set.store.deliveries('r', set.hook.id).length).toBeLessThanOrEqual(51);
  });
});

describe('addresses of webhooks', () => {
  // IANA special-purpose address registries (RFC 6890, RFC 8190), read as they stand in the RFCs.
  it.each([
    ...['127.0.0.1', '10.1.2.3', '172.16.0.1', '172.31.255.255', '192.168.1.1', '169.254.169.254'],
    ...['100.64.0.1', '0.0.0.0', '224.0.0.1', '255.255.255.255', '198.18.0.1', '192.0.2.1'],
    ...[
      '::1',
      '::',
      'fe80::1',
      'fc00::1',
      'fd12::1',
      'ff02::1',
      '::ffff:10.0.0.1',
      '64:ff9b::a00:1',
    ],
    ...['2001:db8::1', '2002:a00:1::', '2001::1', 'not an address'],
  ])('do not lead to %s', (address) => {
    expect(isPublicAddress(address)).toBe(false);
  });

  it.each(['9.9.9.9', '172.32.0.1', '192.167.1.1', '2606:4700::1111', '2a00:1450:4001::1'])(
    'may lead to %s',
    (address) => {
      expect(isPublicAddress(address)).toBe(true);
    },
  );

  it('are refused where they or their names are on this machine, and no message is sent', async () => {
    let asked = 0;
    const other = createServer((_request, response) => {
      asked += 1;
      response.end();
    });
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => void other.close());
    const { port } = other.address() as AddressInfo;
    for (const host of ['127.0.0.1', 'localhost', '[::1]', '2130706433', '[::ffff:127.0.0.1]']) {
      const sending = makePost(false)(`http://${host}:${port}/`, {}, '{}');
      await expect(sending, host).rejects.toThrow('not on the public internet');
    }
    expect(asked).toBe(0);
    expect(await makePost(true)(`http://127.0.0.1:${port}/`, {}, '{}')).toBe(200);
    expect(asked).toBe(1);
  });
});

describe('webhooks over HTTP', () => {
  it('are a lead’s, need https, and are told when a shot changes state', async () => {
    const told: string[] = [];
    let tellArrived = (): void => undefined;
    const arrived = new Promise<void>((resolve) => {
      tellArrived = resolve;
    });
    const other = createServer((request, response) => {
      request.on('data', (part) => told.push(String(part)));
      request.on('end', () => {
        response.end();
        tellArrived();
      });
    });
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => void other.close());
    const url = `http://127.0.0.1:${(other.address() as AddressInfo).port}/told`;
    const add = async (
      server: Awaited<ReturnType<typeof startServer>>,
      role: 'lead' | 'animator',
    ) => {
      const cookie = await server.joinAs(role);
      const headers = { cookie, 'content-type': 'application/json' };
      const init = { method: 'POST', headers, body: JSON.stringify({ url }) };
      const path = `${server.url}/api/reviews/demo`;
      return { headers, path, status: (await fetch(`${path}/webhooks`, init)).status };
    };
    const outer = await startServer();
    expect((await add(outer, 'animator')).status).toBe(403);
    expect((await add(outer, 'lead')).status).toBe(400);
    const inner = await startServer({ webhooksInner: true });
    const { headers, path, status } = await add(inner, 'lead');
    expect(status).toBe(201);
    await fetch(`${path}/shots/qy-010`, {
      ...{ method: 'PATCH', headers, body: JSON.stringify({ state: 'retake' }) },
    });
    await within(arrived, 'the message');
    expect(JSON.parse(told.join(''))).toMatchObject({ shot: 'qy-010', to: 'retake' });
  });
});
