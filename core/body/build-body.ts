import type { Vec3 } from '../geometry/types.ts';
import { limitsOf } from './limits.ts';
import { buildPatches, type FootSize } from './patches.ts';
import { planOf } from './plan.ts';
import { ANKLE_FROM_HEEL, HALF_HIP_WIDTH } from './tables/proportions.ts';
import type { SegmentKind } from './tables/published.ts';
import { type Body, type BodySpec, SEGMENTS, type Segment, type SegmentName } from './types.ts';

const PARENTS: Readonly<Record<SegmentName, SegmentName | null>> = {
  pelvis: null,
  abdomen: 'pelvis',
  chest: 'abdomen',
  head: 'chest',
  upperArmL: 'chest',
  forearmL: 'upperArmL',
  handL: 'forearmL',
  upperArmR: 'chest',
  forearmR: 'upperArmR',
  handR: 'forearmR',
  thighL: 'pelvis',
  shankL: 'thighL',
  footL: 'shankL',
  toesL: 'footL',
  thighR: 'pelvis',
  shankR: 'thighR',
  footR: 'shankR',
  toesR: 'footR',
};

/** Radii over stature for drawing, proximal and distal: ours, on ANSUR breadths for the trunk. */
const LIMB_GIRTH: Readonly<Record<string, readonly [number, number]>> = {
  head: [0.034, 0.052],
  upperArm: [0.029, 0.022],
  forearm: [0.0235, 0.015],
  hand: [0.018, 0.01],
  thigh: [0.049, 0.031],
  shank: [0.031, 0.019],
  foot: [0.021, 0.016],
  toes: [0.0125, 0.008],
};

/** Joint of the toes above the sole, over ankle height (drawn; a metatarsal head is about 0.013 m high in Winter's example). */
const BALL_HEIGHT = 0.3;

// A mouse and a giant are figures too; the scene file has the same bounds.
const STATURE_RANGE = [0.2, 20] as const;
const MASS_RANGE = [0.01, 10_000] as const;
const FACTOR_RANGE = [0.05, 20] as const;

const cache = new Map<string, Body>();
const CACHE_SIZE = 200;

/**
 * Builds a body that stands exactly `stature` high and weighs exactly `mass`.
 *
 * Frames: every segment's frame lies on its proximal joint and is parallel to the world's when the
 * figure stands upright with straight legs, arms hanging, palms to the thighs (the pose without any
 * joint turned). Hip, knee and ankle joints lie on one vertical line a side; so do the trunk's joints,
 * with all mass centres of trunk, head, arms and legs straight above or below their joints; only a
 * foot's centre lies ahead of its ankle. `girth` of the head is the neck's and the skull's radius.
 *
 * Overrides: `length` scales a segment with the offsets of the joints on it (a foot's also its height;
 * a pelvis' or chest's also the width between hips or shoulders), then the whole body is scaled so that
 * it still stands `stature` high. `mass` factors are closed to the body's mass. `girth` scales the drawn
 * radii, and for a foot its breadth, which widens the support.
 *
 * The same values give the same object (up to 200 are kept). Throws RangeError for a stature outside
 * 0.2-20 m, a mass outside 0.01-10,000 kg or a factor outside 0.05-20.
 */
export function buildBody(spec: BodySpec): Body {
  const key = JSON.stringify([
    spec.table,
    spec.stature,
    spec.mass,
    SEGMENTS.map((name) => {
      const o = spec.overrides?.[name];
      return o ? [o.length ?? 1, o.width ?? o.length ?? 1, o.girth ?? 1, o.mass ?? 1] : 0;
    }),
  ]);
  const known = cache.get(key);
  if (known) return known;
  const body = build(spec);
  // Oldest out: a figure under edit has a few specs, a review a few dozen.
  if (cache.size >= CACHE_SIZE) cache.delete(cache.keys().next().value as string);
  cache.set(key, body);
  return body;
}

function check(what: string, value: number, [low, high]: readonly [number, number], unit: string) {
  if (!(value >= low && value <= high)) {
    throw new RangeError(`${what} must lie between ${low} and ${high} ${unit}, got ${value}`);
  }
}

const kindOf = (name: SegmentName): string => name.replace(/[LR]$/, '');

function build(spec: BodySpec): Body {
  check('Stature', spec.stature, STATURE_RANGE, 'm');
  check('Mass', spec.mass, MASS_RANGE, 'kg');
  const plan = planOf(spec.table);
  const remarks = [...plan.remarks];
  const factor = (name: SegmentName, what: 'length' | 'width' | 'girth' | 'mass'): number => {
    const value = spec.overrides?.[name]?.[what] ?? 1;
    check(`${what} factor of ${name}`, value, FACTOR_RANGE, '');
    return value;
  };
  const len = (name: SegmentName): number => factor(name, 'length');
  const width = (name: SegmentName): number =>
    spec.overrides?.[name]?.width === undefined ? len(name) : factor(name, 'width');

  // Height of the overridden body as a share of the plain one's; the scale H brings it back.
  const leg = (side: 'L' | 'R'): number =>
    plan.lengths.thigh * len(`thigh${side}`) +
    plan.lengths.shank * len(`shank${side}`) +
    plan.ankleHeight * len(`foot${side}`);
  const hip = Math.max(leg('L'), leg('R'));
  const natural =
    hip +
    plan.lengths.pelvis * len('pelvis') +
    plan.lengths.abdomen * len('abdomen') +
    plan.lengths.chest * len('chest') +
    plan.lengths.head * len('head');
  const H = spec.stature / natural;
  if (Math.abs(natural - 1) > 1e-9) {
    remarks.push(
      `With the set length factors the body would stand at ${(natural * spec.stature).toFixed(2)} m; all lengths are scaled so that it stands at ${spec.stature.toFixed(2)} m.`,
    );
  }

  const foot = (side: 'L' | 'R'): FootSize => {
    const size = len(`foot${side}`) * H;
    const wide = factor(`foot${side}`, 'girth') * size;
    const plainToes = (1 - plan.ratios.ballOverFoot) * plan.footLength;
    const toes = plainToes * len(`toes${side}`);
    // The ball stays a share of the plain foot; longer toes lengthen the foot beyond it.
    const length = plan.footLength - plainToes + toes;
    const ballFromHeel = plan.ratios.ballOverFoot * plan.footLength;
    return {
      length: length * size,
      breadth: plan.footBreadth * wide,
      heelBreadth: plan.ratios.heelBreadth * wide,
      malleolarBreadth: plan.ratios.malleolarBreadth * wide,
      ankleHeight: plan.ankleHeight * size,
      ballAhead: ballFromHeel * size - ANKLE_FROM_HEEL * length * size,
      ballHeight: BALL_HEIGHT * plan.ankleHeight * size,
    };
  };
  const feet = { L: foot('L'), R: foot('R') };

  const shares = closeMasses(spec, factor);
  const build = Math.sqrt(spec.mass / spec.stature ** 3 / plan.build);
  // Keeps stick figures and barrels drawable; the masses are not touched.
  const stout = Math.min(1.6, Math.max(0.7, build)) * H;
  const { ratios } = plan;
  const trunkGirth: Readonly<Record<string, readonly [number, number]>> = {
    pelvis: [ratios.hipBreadth * 0.42, (ratios.waistBreadth + ratios.waistDepth) * 0.245],
    abdomen: [
      (ratios.waistBreadth + ratios.waistDepth) * 0.245,
      (ratios.chestBreadth + ratios.chestDepth) * 0.25,
    ],
    chest: [(ratios.chestBreadth + ratios.chestDepth) * 0.25, 0.045],
  };
  const girthOf = (name: SegmentName): readonly [number, number] => {
    const kind = kindOf(name);
    const [a, b] = trunkGirth[kind] ?? LIMB_GIRTH[kind] ?? [0.02, 0.02];
    // A head's size does not follow the body's weight.
    const size = (kind === 'head' ? H * len('head') : stout) * factor(name, 'girth');
    return [a * size, b * size];
  };

  const along = (name: SegmentName, table: 'lengths' | 'centres'): number =>
    plan[table][kindOf(name) as Exclude<SegmentKind, 'foot'>] * len(name) * H;
  const place = (name: SegmentName): { offset: Vec3; end: Vec3; centre: Vec3 } => {
    const kind = kindOf(name);
    const side = name.endsWith('L') ? 1 : -1;
    const f = feet[side === 1 ? 'L' : 'R'];
    const toeLength = (1 - ANKLE_FROM_HEEL) * f.length - f.ballAhead;
    const parent = PARENTS[name];
    // Trunk and head reach up from their joint, limbs hang down.
    const sign = ['pelvis', 'abdomen', 'chest', 'head'].includes(kind) ? 1 : -1;
    const axis = (distance: number): Vec3 => [0, sign * distance, 0];
    if (kind === 'toes') {
      const end: Vec3 = [0, -f.ballHeight * 0.4, toeLength];
      return { offset: [0, f.ballHeight - f.ankleHeight, f.ballAhead], end, centre: [0, 0, 0] };
    }
    if (kind === 'foot') {
      const ahead = (plan.footCentre / plan.footLength) * f.length;
      return {
        offset: axis(along(parent as SegmentName, 'lengths')),
        end: [0, f.ballHeight - f.ankleHeight, f.ballAhead],
        centre: [0, -f.ankleHeight / 2, ahead],
      };
    }
    return {
      offset: offsetOf(name, side),
      end: axis(along(name, 'lengths')),
      centre: axis(along(name, 'centres')),
    };
  };
  const offsetOf = (name: SegmentName, side: 1 | -1): Vec3 => {
    const parent = PARENTS[name];
    if (parent === null) return [0, 0, 0];
    const kind = kindOf(name);
    if (kind === 'thigh') return [side * HALF_HIP_WIDTH * width('pelvis') * H, 0, 0];
    if (kind === 'upperArm') {
      // The shoulder joint lies under the acromion; half the measured biacromial breadth is used for it.
      const half = (ratios.biacromialBreadth / 2) * H * width('chest');
      return [side * half, plan.shoulder * H * len('chest'), 0];
    }
    const trunk = kind === 'abdomen' || kind === 'chest' || kind === 'head';
    return [0, (trunk ? 1 : -1) * along(parent, 'lengths'), 0];
  };

  const segments = Object.fromEntries(
    SEGMENTS.map((name): [SegmentName, Segment] => [
      name,
      {
        name,
        parent: PARENTS[name],
        ...place(name),
        mass: shares[name] * spec.mass,
        girth: girthOf(name),
        limits: limitsOf(name),
      },
    ]),
  ) as Record<SegmentName, Segment>;

  const patches = buildPatches(plan, {
    left: feet.L,
    right: feet.R,
    stature: H,
    handScale: len('handL'),
    // Hip joints above a seat: hip height less what sitting takes off the stature.
    seatDrop: (leg('L') - (1 - ratios.sittingHeight) * natural) * H,
    chestLength: along('chest', 'lengths'),
    chestDepth: ratios.chestDepth * H,
    forearmLength: along('forearmL', 'lengths'),
    forearmGirth: segments.forearmL.girth[1],
    kneeGirth: segments.shankL.girth[0],
  });

  return {
    spec,
    segments,
    patches,
    hipHeight: hip * H,
    footLength: feet.L.length,
    remarks,
  };
}

/** Mass share of every segment: the table's, times the factors, closed to 1. */
function closeMasses(
  spec: BodySpec,
  factor: (name: SegmentName, what: 'mass') => number,
): Readonly<Record<SegmentName, number>> {
  const { published } = planOf(spec.table);
  const raw = SEGMENTS.map((name): [SegmentName, number] => {
    const kind = kindOf(name);
    const share = kind === 'toes' ? 0 : published[kind as SegmentKind].mass;
    return [name, share * factor(name, 'mass')];
  });
  const sum = raw.reduce((total, [, share]) => total + share, 0);
  return Object.fromEntries(raw.map(([name, share]) => [name, share / sum])) as Record<
    SegmentName,
    number
  >;
}
