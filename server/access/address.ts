import { isIPv6 } from 'node:net';

/** Where a request comes from, as far as its headers and its socket tell. */
export interface Arrival {
  /** Address of the other end of the socket; undefined where there is no socket. */
  readonly remote: string | undefined;
  /** X-Forwarded-For. */
  readonly forwarded: string | undefined;
}

/**
 * The address that limits are counted by. Only as many entries of X-Forwarded-For are believed as
 * proxies of ours stand in front, counted from the last; what a caller put before them is not.
 * @returns null where the address says nothing about who asks: a proxy that the settings do not name
 * would make everybody one, and so would this machine's own
 */
export function addressOf({ remote, forwarded }: Arrival, proxies: number): string | null {
  const entries = forwarded?.split(',').map((entry) => entry.trim()) ?? [];
  if (proxies > 0) {
    const entry = entries.at(-proxies) ?? entries[0];
    return entry === undefined ? null : counted(entry);
  }
  if (remote === undefined || /^(::1|(::ffff:)?127\.\d+\.\d+\.\d+)$/.test(remote)) return null;
  return counted(remote);
}

/** One household or host has a whole /64 of IPv6. */
function counted(address: string): string {
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)?.[1];
  if (mapped !== undefined) return mapped;
  const bare = address.replace(/%.*$/, '');
  if (!isIPv6(bare)) return address;
  const [head = '', tail] = bare.split('::');
  const front = head === '' ? [] : head.split(':');
  const back = tail ? tail.split(':') : [];
  const zeros = tail === undefined ? 0 : 8 - front.length - back.length;
  const groups = [...front, ...Array.from({ length: zeros }, () => '0'), ...back];
  return `${groups
    .slice(0, 4)
    .map((group) => Number.parseInt(group, 16).toString(16))
    .join(':')}::/64`;
}
