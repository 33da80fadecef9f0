import { slerp } from '../geometry/quat.ts';
import type { Quat } from '../geometry/types.ts';
import { isMoving, type MovingPath } from './gltf-check.ts';
import type { GltfFile } from './gltf-file.ts';
import { GltfFault } from './gltf-schema.ts';

/** How one part of one node moves: keys over time. */
export interface Track {
  readonly node: number;
  readonly path: MovingPath;
  /** Seconds, rising. */
  readonly times: Float64Array;
  /** Element after element; for a spline three a key: tangent in, value, tangent out. */
  readonly values: Float64Array;
  readonly kind: 'LINEAR' | 'STEP' | 'CUBICSPLINE';
}

/** The tracks of an animation that move nodes. Throws GltfFault for times that do not rise. */
export function readTracks(file: GltfFile, animation: number): readonly Track[] {
  const { channels, samplers } = file.json.animations[
    animation
  ] as GltfFile['json']['animations'][number];
  const read = new Map<number, Float64Array>();
  const numbers = (accessor: number): Float64Array => {
    const known = read.get(accessor) ?? file.numbers(accessor);
    read.set(accessor, known);
    return known;
  };
  return channels.flatMap(({ sampler, target }): Track[] => {
    if (target.node === undefined || !isMoving(target.path)) return [];
    const {
      input,
      output,
      interpolation = 'LINEAR',
    } = samplers[sampler] as (typeof samplers)[number];
    const times = numbers(input);
    for (let i = 0; i < times.length; i++) {
      const before = i === 0 ? -1e-9 : (times[i - 1] as number);
      if ((times[i] as number) > before) continue;
      throw new GltfFault(
        `animations[${animation}].samplers[${sampler}].input`,
        `key ${i} is at ${times[i]} s; times must rise from 0 on`,
      );
    }
    return [
      { node: target.node, path: target.path, times, values: numbers(output), kind: interpolation },
    ];
  });
}

/**
 * The value of a track at a time, three or four numbers; before the first and after the last key it
 * stays there (Khronos glTF 2.0 specification, sections 3.11 and appendix C). Turns go the shorter way
 * and come back at unit length.
 */
export function valueAt({ path, times, values, kind }: Track, time: number): number[] {
  const size = path === 'rotation' ? 4 : 3;
  const spline = kind === 'CUBICSPLINE';
  const stride = spline ? 3 * size : size;
  const key = (i: number, part = spline ? size : 0): number[] =>
    Array.from(values.subarray(i * stride + part, i * stride + part + size));
  const last = times.length - 1;
  if (time <= (times[0] as number)) return key(0);
  if (time >= (times[last] as number)) return key(last);
  const at = keyBefore(times, time);
  if (kind === 'STEP') return key(at);
  const span = (times[at + 1] as number) - (times[at] as number);
  const t = (time - (times[at] as number)) / span;
  const [a, b] = [key(at), key(at + 1)];
  if (!spline) {
    if (path === 'rotation') return [...slerp(unit(a), unit(b), t)];
    return a.map((value, i) => value + t * ((b[i] as number) - value));
  }
  const [out, into] = [key(at, 2 * size), key(at + 1, 0)];
  const [t2, t3] = [t * t, t * t * t];
  // Hermite basis; tangents are per second, so they count for the span.
  return a.map(
    (value, i) =>
      (2 * t3 - 3 * t2 + 1) * value +
      span * (t3 - 2 * t2 + t) * (out[i] as number) +
      (3 * t2 - 2 * t3) * (b[i] as number) +
      span * (t3 - t2) * (into[i] as number),
  );
}

function unit(q: readonly number[]): Quat {
  const [x = 0, y = 0, z = 0, w = 0] = q;
  const size = Math.hypot(x, y, z, w);
  return size > 0 ? [x / size, y / size, z / size, w / size] : [0, 0, 0, 1];
}

/** Index of the last key at or before a time that lies between the first and the last. */
function keyBefore(times: Float64Array, time: number): number {
  let low = 0;
  let high = times.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((times[middle] as number) <= time) low = middle;
    else high = middle;
  }
  return low;
}

/** Frames a second that are taken for a clip. */
export interface Rate {
  readonly rate: number;
  /** `keys`: the keys stand on such frames. `given`: asked for. `assumed`: the keys show none. */
  readonly from: 'keys' | 'given' | 'assumed';
}

/** Taken where the keys show no rate of their own. */
export const ASSUMED_RATE = 24;
/** Rates that keys may show; slower ones are keys far apart, not frames. */
const RATES = [10, 1000] as const;
/** How far a key may lie from a frame, in frames; times are single precision. */
const OFF_FRAME = 0.05;
const ROUNDING = 1e-3;

/** The rate at which all keys of all tracks lie on frames: that of the two nearest keys, if the others fit. */
export function rateOf(tracks: readonly Track[], given: number | undefined): Rate {
  if (given !== undefined) return { rate: given, from: 'given' };
  const start = startOf(tracks);
  let least = Number.POSITIVE_INFINITY;
  for (const { times } of tracks)
    for (let i = 1; i < times.length; i++)
      least = Math.min(least, (times[i] as number) - (times[i - 1] as number));
  const coarse = Number.isFinite(least) ? 1 / least : 0;
  if (!(coarse >= RATES[0] * 0.99 && coarse <= RATES[1]))
    return { rate: ASSUMED_RATE, from: 'assumed' };
  // The length of the longest track over its frames is known far better than one gap is.
  const end = endOf(tracks);
  const frames = Math.round((end - start) * coarse);
  const fine = frames / (end - start);
  const fits = (rate: number, off: number): boolean =>
    tracks.every(({ times }) =>
      times.every((time) => {
        const frame = (time - start) * rate;
        return Math.abs(frame - Math.round(frame)) <= off;
      }),
    );
  if (!fits(fine, OFF_FRAME)) return { rate: ASSUMED_RATE, from: 'assumed' };
  // A whole number where the keys lie on its frames as well: rounding of the times is not a rate.
  const whole = Math.round(fine);
  return { rate: fits(whole, ROUNDING) ? whole : fine, from: 'keys' };
}

/** Seconds of the first and of the last key; 0 without tracks. */
export const startOf = (tracks: readonly Track[]): number =>
  tracks.reduce(
    (least, { times }) => Math.min(least, times[0] as number),
    tracks[0]?.times[0] ?? 0,
  );
export const endOf = (tracks: readonly Track[]): number =>
  tracks.reduce((most, { times }) => Math.max(most, times[times.length - 1] as number), 0);
