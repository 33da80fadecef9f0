import { describe, expect, it } from 'vitest';
import { addressOf } from '../../server/access/address.ts';
import { RATES } from '../../server/access/limits.ts';
import { RateLimiter } from '../../server/access/rate-limit.ts';
import { ManualClock } from '../helpers/manual-clock.ts';
import { startServer } from '../helpers/served.ts';
import { ShiftedClock } from '../helpers/shifted-clock.ts';

describe('a rate limit', () => {
  it('gives a burst, then so many a second, to each key for itself', () => {
    const clock = new ManualClock();
    const limiter = new RateLimiter(clock, { burst: 3, perSecond: 0.5 });
    expect([1, 2, 3, 4].map(() => limiter.take('a'))).toEqual([0, 0, 0, 2]);
    expect(limiter.take('b')).toBe(0);
    clock.advance(1000);
    expect(limiter.take('a')).toBe(1);
    clock.advance(1000);
    expect([limiter.take('a'), limiter.take('a')]).toEqual([0, 2]);
    clock.advance(3600_000);
    expect([1, 2, 3, 4].map(() => limiter.take('a'))).toEqual([0, 0, 0, 2]);
  });

  it('gives nothing for a clock that goes back', () => {
    let now = 1_000_000;
    const limiter = new RateLimiter(
      { now: () => now, after: () => ({}), cancel: () => undefined },
      { burst: 1, perSecond: 1 },
    );
    expect(limiter.take('a')).toBe(0);
    now -= 500_000;
    expect(limiter.take('a')).toBe(1);
    now += 1000;
    expect(limiter.take('a')).toBe(0);
  });
});

describe('the address that is counted', () => {
  it.each([
    // Without proxies of ours, what stands in a header is anybody's word.
    ['198.51.100.4', undefined, 0, '198.51.100.4'],
    ['198.51.100.4', '203.0.113.9', 0, '198.51.100.4'],
    // This machine's own address says nothing about who asks.
    ['127.0.0.1', '203.0.113.9', 0, null],
    ['::1', undefined, 0, null],
    ['::ffff:127.0.0.1', undefined, 0, null],
    [undefined, undefined, 0, null],
    // With one, its word is the last entry; what the caller made up stands before it.
    ['127.0.0.1', '203.0.113.9', 1, '203.0.113.9'],
    ['10.0.0.2', '6.6.6.6, 203.0.113.9', 1, '203.0.113.9'],
    ['10.0.0.2', '6.6.6.6, 203.0.113.9, 10.0.0.1', 2, '203.0.113.9'],
    ['10.0.0.2', undefined, 1, null],
    // One host has a whole /64 (RFC 6177 and common practice).
    ['2001:db8:1:2:aaaa:bbbb:cccc:dddd', undefined, 0, '2001:db8:1:2::/64'],
    ['2001:db8:1:2::7', undefined, 0, '2001:db8:1:2::/64'],
    ['2001:0db8::1', undefined, 0, '2001:db8:0:0::/64'],
    ['fe80::1%eth0', undefined, 0, 'fe80:0:0:0::/64'],
    ['::ffff:198.51.100.4', undefined, 0, '198.51.100.4'],
  ])(
    'of %s with X-Forwarded-For %s behind %i proxies is %s',
    (remote, forwarded, count, expected) => {
      expect(addressOf({ remote, forwarded }, count)).toBe(expected);
    },
  );
});

describe('the server', () => {
  it('lets one address knock so often, whatever the links', async () => {
    const clock = new ShiftedClock();
    const server = await startServer({ clock, proxies: 1 });
    const knock = (address: string): Promise<Response> =>
      fetch(`${server.url}/join/AAAAAAAAAAAAAAAAAAAAAA`, {
        headers: { 'x-forwarded-for': address },
      });
    const { burst } = RATES.joinsPerAddress;
    const codes = await Promise.all(
      Array.from({ length: burst + 10 }, async () => (await knock('192.0.2.1')).status),
    );
    expect(codes.filter((code) => code === 429).length).toBeGreaterThanOrEqual(5);
    expect(codes.filter((code) => code === 404).length).toBeGreaterThanOrEqual(burst);
    expect((await knock('192.0.2.2')).status).toBe(404);
    clock.add(60_000);
    expect((await knock('192.0.2.1')).status).toBe(404);
  });

  it('lets one person write so often, and still read', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('guest');
    const address = `${server.url}/api/reviews/demo/me`;
    const rename = (): Promise<Response> =>
      fetch(address, {
        method: 'PATCH',
        headers: { cookie, 'content-type': 'application/json' },
        body: '{}',
      });
    const codes: number[] = [];
    for (let turn = 0; turn < RATES.writesPerPerson.burst * 3; turn++) {
      codes.push((await rename()).status);
      if (codes.at(-1) === 429) break;
    }
    expect(codes.at(-1)).toBe(429);
    expect(codes.length).toBeGreaterThan(RATES.writesPerPerson.burst);
    expect((await fetch(address, { headers: { cookie } })).status).toBe(200);
    const other = await server.joinAs('guest');
    const { status } = await fetch(address, {
      method: 'PATCH',
      headers: { cookie: other, 'content-type': 'application/json' },
      body: '{"name":"Ines Vale"}',
    });
    expect(status).toBe(200);
  });
});
