import { lookup } from 'node:dns';
import { BlockList, isIP, type LookupFunction } from 'node:net';

/**
 * Addresses that are no part of the public internet: a webhook must not reach into the network that
 * the server stands in. IANA's registries of special-purpose addresses (RFC 6890 and its updates);
 * the whole of 0.0.0.0/8, multicast and reserved ranges with them.
 */
const INNER = new BlockList();
for (const [network, prefix] of [
  ...([
    ['0.0.0.0', 8],
    ['10.0.0.0', 8],
    ['100.64.0.0', 10],
    ['127.0.0.0', 8],
  ] as const),
  ...([
    ['169.254.0.0', 16],
    ['172.16.0.0', 12],
    ['192.0.0.0', 24],
    ['192.0.2.0', 24],
  ] as const),
  ...([
    ['192.88.99.0', 24],
    ['192.168.0.0', 16],
    ['198.18.0.0', 15],
  ] as const),
  ...([
    ['198.51.100.0', 24],
    ['203.0.113.0', 24],
    ['224.0.0.0', 4],
    ['240.0.0.0', 4],
  ] as const),
] as const) {
  INNER.addSubnet(network, prefix, 'ipv4');
}

// Of IPv6 only what is given out to the public: 2000::/3, without the parts that lead elsewhere
// (IPv4 in 6to4 and Teredo, documentation, benchmarking).
const PUBLIC_6 = new BlockList();
PUBLIC_6.addSubnet('2000::', 3, 'ipv6');
const INNER_6 = new BlockList();
for (const [network, prefix] of [
  ['2001::', 23],
  ['2001:db8::', 32],
  ['2002::', 16],
  ['3fff::', 20],
] as const) {
  INNER_6.addSubnet(network, prefix, 'ipv6');
}

/** Whether an IP address is one of the public internet. */
export function isPublicAddress(address: string): boolean {
  const family = isIP(address);
  if (family === 4) return !INNER.check(address, 'ipv4');
  if (family === 6) return PUBLIC_6.check(address, 'ipv6') && !INNER_6.check(address, 'ipv6');
  return false;
}

/** Said where an address is not taken. */
export const NOT_PUBLIC = 'the address is not on the public internet';

/**
 * A look-up of names that gives public addresses alone, for the very connection that is made: a name
 * cannot point elsewhere between the look and the leap.
 */
export const publicLookup: LookupFunction = (hostname, options, callback) => {
  lookup(hostname, { ...options, all: true }, (fault, found) => {
    if (fault) return callback(fault, '', 0);
    const open = found.filter(({ address }) => isPublicAddress(address));
    const [first] = open;
    if (first === undefined) return callback(new Error(NOT_PUBLIC), '', 0);
    if (options.all) callback(null, open);
    else callback(null, first.address, first.family);
  });
};
