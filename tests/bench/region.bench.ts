import {
  type ContactPoint,
  equilibriumRegion,
  frictionScale,
  staticLoads,
} from '../../core/balance/region/index.ts';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import { contactSet } from '../helpers/contact-sets.ts';
import { highsRegion } from '../helpers/highs-region.ts';
import { type BenchRow, spread } from './rows.ts';

/** Sets of 8 non-coplanar contacts with a bounded region, by seed. */
function sets(count: number): readonly (readonly ContactPoint[])[] {
  const found: (readonly ContactPoint[])[] = [];
  for (let seed = 20_000; found.length < count; seed++) {
    const contacts = contactSet(seed, { count: 8 }).map((c) => ({ ...c, cap: undefined }));
    const bounded = ['round' as const, 16].every(
      (edges) => equilibriumRegion(contacts, { edges }).kind === 'region',
    );
    if (bounded) found.push(contacts);
  }
  return found;
}

/** Median and 95th percentile over calls, microseconds. */
function times<T>(inputs: readonly T[], rounds: number, call: (input: T) => unknown) {
  const all: number[] = [];
  for (let round = 0; round < rounds; round++)
    for (const input of inputs) {
      const start = performance.now();
      call(input);
      all.push((performance.now() - start) * 1000);
    }
  // The first third warms up.
  return spread(all.slice(all.length / 3));
}

/** Directions in which a polygon's edges face: the programs that make it. */
function directionsOf(vertices: readonly Vec2[]): readonly Vec2[] {
  return vertices.map((a, i): Vec2 => {
    const b = vertices[(i + 1) % vertices.length]!;
    const size = Math.hypot(b[0] - a[0], b[1] - a[1]);
    return [(b[1] - a[1]) / size, (a[0] - b[0]) / size];
  });
}

/** Region, loads and friction demand of 8 contacts, and HiGHS on the same support programs. */
export async function run(): Promise<BenchRow[]> {
  const inputs = sets(60);
  const round = times(inputs, 12, (contacts) => equilibriumRegion(contacts));
  const pyramid = times(inputs, 12, (contacts) => equilibriumRegion(contacts, { edges: 16 }));

  // HiGHS, one model a set, warm from direction to direction, asked only in the directions of the
  // finished polygon's edges: fewer programs than it takes to find them, so the ratio flatters it.
  const peers: { ask: () => void; close: () => void }[] = [];
  for (const contacts of inputs) {
    const region = equilibriumRegion(contacts, { edges: 16 });
    const directions = region.kind === 'region' ? directionsOf(region.vertices) : [];
    const highs = await highsRegion(contacts, 16);
    peers.push({
      ask: () => {
        for (const [x, z] of directions) highs.support(x, z);
      },
      close: highs.close,
    });
  }
  const peer = times(peers, 3, ({ ask }) => ask());
  for (const { close } of peers) close();

  const centred = inputs.map((contacts) => {
    const region = equilibriumRegion(contacts);
    const vertices = region.kind === 'region' ? region.vertices : [];
    const mean = (k: 0 | 1) => vertices.reduce((sum, v) => sum + v[k], 0) / vertices.length;
    return { contacts, centre: [mean(0), 1, mean(1)] as Vec3 };
  });
  const loads = times(centred, 6, ({ contacts, centre }) => staticLoads(contacts, centre, 700));
  const friction = times(centred, 6, ({ contacts, centre }) => frictionScale(contacts, centre));

  const row = (name: string, value: number): BenchRow => ({ name, value, unit: 'us' });
  return [
    {
      ...row('region, 8 non-coplanar contacts, round cones, 1 mm, median', round.median),
      ratio: round.median / peer.median,
      peer: 'HiGHS, same outline with 16 edges',
    },
    row('region, 8 non-coplanar contacts, round cones, 1 mm, p95', round.p95),
    {
      ...row('region, 8 non-coplanar contacts, 16 edges, median', pyramid.median),
      ratio: pyramid.median / peer.median,
      peer: 'HiGHS, same outline with 16 edges',
    },
    row('load ranges and likely loads, 8 contacts, median', loads.median),
    row('friction demand, 8 contacts, median', friction.median),
  ];
}
