import { add, scale } from '../geometry/index.ts';
import {
  applyTransform,
  between,
  fromAxisAngle,
  IDENTITY,
  multiply,
  rotate,
} from '../geometry/quat.ts';
import type { Quat, Transform, Vec3 } from '../geometry/types.ts';
import type { BodySpec, Extra, ExtraKind, ExtraLink, ExtraSpec, Segment } from './types.ts';

/**
 * Extra parts of stylised figures. Nothing is published about them: their masses are set, their forms
 * are drawing practice of ours. Mass lies in them as in tapered round bars of one density.
 */

/** What may be set: lengths and girths as shares of the stature, mass as a share of the body's. */
export const EXTRA_RANGES = {
  length: [0.01, 2],
  girth: [0.002, 0.5],
  mass: [0, 0.6],
} as const;

/** A neck leaves this much of the stature for the rest. */
const LONGEST_NECK = 0.7;
/** Extra parts together weigh at most this share of the body. */
const MOST_MASS = 0.9;

interface Growth {
  readonly links: number;
  /** Radius at the tip over the one at the root. */
  readonly taper: number;
  /** Which way it grows: turns +Y of the link to it, in the parent's frame. */
  readonly way: Quat;
  /** Where it grows: sideways and behind over the parent's girth, up over its length. */
  readonly root: readonly [side: number, up: number, behind: number];
  readonly usual: Omit<ExtraSpec, 'kind'>;
}

const up: Vec3 = [0, 1, 0];
const backwards = (degrees: number): Quat => fromAxisAngle([1, 0, 0], (-degrees * Math.PI) / 180);

const GROWTH: Readonly<Record<ExtraKind, Growth>> = {
  tail: {
    links: 6,
    taper: 0.2,
    way: backwards(120),
    root: [0, 0.05, 0.7],
    usual: { parent: 'pelvis', length: 0.45, girth: 0.028, mass: 0.04 },
  },
  wingL: {
    links: 5,
    taper: 0.35,
    way: between(up, [0.76, 0.5, -0.42]),
    root: [0.45, 0.6, 0.7],
    usual: { parent: 'chest', length: 0.6, girth: 0.1, mass: 0.02 },
  },
  wingR: {
    links: 5,
    taper: 0.35,
    way: between(up, [-0.76, 0.5, -0.42]),
    root: [-0.45, 0.6, 0.7],
    usual: { parent: 'chest', length: 0.6, girth: 0.1, mass: 0.02 },
  },
  hump: {
    links: 1,
    taper: 0.6,
    way: backwards(75),
    root: [0, 0.6, 0.35],
    usual: { parent: 'chest', length: 0.1, girth: 0.085, mass: 0.05 },
  },
  neck: {
    links: 5,
    taper: 0.85,
    way: IDENTITY,
    root: [0, 1, 0],
    usual: { parent: 'chest', length: 0.22, girth: 0.034, mass: 0.03 },
  },
};

/** A new part of a kind as it is usually drawn. */
export const freshExtra = (kind: ExtraKind): ExtraSpec => ({ kind, ...GROWTH[kind].usual });

/** The parts of a body that count: of several necks the first by id. */
export function extrasOf(spec: BodySpec): readonly (readonly [id: string, extra: ExtraSpec])[] {
  const all = Object.entries(spec.extras ?? {}).sort(([a], [b]) => (a < b ? -1 : 1));
  for (const [id, extra] of all) {
    for (const what of ['length', 'girth', 'mass'] as const) {
      const [low, high] = EXTRA_RANGES[what];
      if (!(extra[what] >= low && extra[what] <= high))
        throw new RangeError(
          `${what} of ${id} must lie between ${low} and ${high}, got ${extra[what]}`,
        );
    }
  }
  const neck = all.find(([, { kind }]) => kind === 'neck')?.[0];
  return all.filter(([id, { kind }]) => kind !== 'neck' || id === neck);
}

/** How much of the stature is neck. */
export const neckShare = (spec: BodySpec): number =>
  Math.min(LONGEST_NECK, extrasOf(spec).find(([, { kind }]) => kind === 'neck')?.[1].length ?? 0);

/** Share of the body's mass of every extra part by id, and what is left for the rest. */
export function extraShares(spec: BodySpec): {
  readonly shares: ReadonlyMap<string, number>;
  readonly rest: number;
} {
  const extras = extrasOf(spec);
  const set = extras.reduce((sum, [, { mass }]) => sum + mass, 0);
  const fit = set > MOST_MASS ? MOST_MASS / set : 1;
  return {
    shares: new Map(extras.map(([id, { mass }]) => [id, mass * fit])),
    rest: 1 - set * fit,
  };
}

/** The extra parts of a body in the frames of the segments that they grow out of. */
export function buildExtras(
  spec: BodySpec,
  segments: Readonly<Record<string, Pick<Segment, 'end' | 'girth'>>>,
): readonly Extra[] {
  const { shares } = extraShares(spec);
  return extrasOf(spec).map(([id, extra]): Extra => {
    const { kind } = extra;
    const parent = kind === 'neck' ? 'chest' : extra.parent;
    const long = kind === 'neck' ? neckShare(spec) : extra.length;
    const chain = chainOf(extra, long * spec.stature, spec.stature, segments[parent]!);
    return {
      id,
      kind,
      parent,
      mass: shares.get(id)! * spec.mass,
      centre: chain.centre,
      links: chain.links,
    };
  });
}

/** Far end of the last link, in the parent's frame. */
export function tipOf({ links }: Extra): Vec3 {
  const last = links.at(-1)!;
  return applyTransform(last.at, [0, last.length, 0]);
}

function chainOf(
  { kind, girth, turn = IDENTITY, curl = 0 }: ExtraSpec,
  long: number,
  stature: number,
  parent: Pick<Segment, 'end' | 'girth'>,
): { readonly links: readonly ExtraLink[]; readonly centre: Vec3 } {
  const { links: count, taper, way, root } = GROWTH[kind];
  const [side, rise, behind] = root;
  let at: Vec3 = [
    side * parent.girth[0],
    rise * parent.end[1],
    rise * parent.end[2] - behind * parent.girth[0],
  ];
  const length = long / count;
  const radius = (k: number): number => girth * stature * (1 + ((taper - 1) * k) / count);
  const links: ExtraLink[] = [];
  let volume = 0;
  let moment: Vec3 = [0, 0, 0];
  for (let k = 0; k < count; k++) {
    const bent = fromAxisAngle([1, 0, 0], (curl * (k + 0.5)) / count);
    const frame: Transform = { position: at, rotation: multiply(multiply(turn, way), bent) };
    const [a, b] = [radius(k), radius(k + 1)];
    // A frustum: volume and the place of its middle along its height.
    const size = length * (a * a + a * b + b * b);
    const middle = (length * (a * a + 2 * a * b + 3 * b * b)) / (4 * (a * a + a * b + b * b));
    moment = add(moment, scale(applyTransform(frame, [0, middle, 0]), size));
    volume += size;
    links.push({ at: frame, length, girth: [a, b] });
    at = add(at, rotate(frame.rotation, [0, length, 0]));
  }
  return { links, centre: scale(moment, 1 / volume) };
}
