import { add, scale as scaled } from '../geometry/index.ts';
import type { Vec3 } from '../geometry/types.ts';
import { AGE_RANGE } from './aged-plan.ts';
import { buildExtras, extraShares, neckShare, tipOf } from './extras.ts';
import { type FootSize, footSize } from './foot.ts';
import { girthShare, stoutness } from './girth.ts';
import { limitsOf } from './limits.ts';
import { buildPatches, type SideSizes } from './patches.ts';
import { type BodyPlan, planOf } from './plan.ts';
import { HALF_HIP_WIDTH } from './tables/proportions.ts';
import type { SegmentKind } from './tables/published.ts';
import {
  type Body,
  type BodySpec,
  type Extra,
  SEGMENTS,
  type Segment,
  type SegmentName,
  type Weighed,
} from './types.ts';

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
 * Extra parts take their share of the mass first; the rest of the body is closed to what is left. They
 * move with their parent as one piece, so their mass is in its mass and mass centre. A neck lifts the
 * head; the body still stands `stature` high.
 *
 * The same values give the same object (up to 200 are kept). Throws RangeError for a stature outside
 * 0.2-20 m, a mass outside 0.01-10,000 kg or a factor outside 0.05-20, an
 * age outside 4-18 or an extra part outside EXTRA_RANGES.
 */
export function buildBody(spec: BodySpec): Body {
  const key = JSON.stringify([
    spec.table,
    spec.stature,
    spec.mass,
    spec.age ?? 0,
    spec.feet ?? 'foot',
    spec.extras ?? 0,
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

type Factor = (name: SegmentName, what: 'length' | 'width' | 'girth' | 'mass') => number;

function factorsOf({ overrides }: BodySpec): Factor {
  return (name, what) => {
    const override = overrides?.[name];
    const value =
      (what === 'width' ? (override?.width ?? override?.length) : override?.[what]) ?? 1;
    check(`${what} factor of ${name}`, value, FACTOR_RANGE, '');
    return value;
  };
}

function build(spec: BodySpec): Body {
  check('Stature', spec.stature, STATURE_RANGE, 'm');
  check('Mass', spec.mass, MASS_RANGE, 'kg');
  if (spec.age !== undefined) check('Age', spec.age, AGE_RANGE, 'years');
  const plan = planOf(spec);
  const factor = factorsOf(spec);
  const remarks = [...plan.remarks];
  const { hip, height } = heightShares(plan, factor);
  // Metres a share of stature: the overridden body's height brought back to the stature.
  const scale = (spec.stature * (1 - neckShare(spec))) / height;
  if (Math.abs(height - 1) > 1e-9) {
    remarks.push(
      `With the set length factors the body would stand at ${(height * spec.stature).toFixed(2)} m; all lengths are scaled so that it stands at ${spec.stature.toFixed(2)} m.`,
    );
  }
  const foot = (side: 'L' | 'R'): FootSize =>
    footSize(
      plan,
      factor(`foot${side}`, 'length') * scale,
      factor(`toes${side}`, 'length'),
      factor(`foot${side}`, 'girth'),
      spec.feet,
    );
  const feet = { L: foot('L'), R: foot('R') };
  const frame: Frame = { plan, factor, scale, feet };
  const weighed = closeMasses(spec, plan, factor);
  const stout = stoutness(plan, spec.stature, spec.mass) * scale;

  const plain = Object.fromEntries(
    SEGMENTS.map((name): [SegmentName, Segment] => {
      const kind = kindOf(name);
      // A head's size does not follow the body's weight.
      const size = kind === 'head' ? scale * factor('head', 'length') : stout;
      const [near, far] = girthShare(plan, kind);
      const girth = factor(name, 'girth') * size;
      return [
        name,
        {
          name,
          parent: PARENTS[name],
          offset: offsetOf(frame, name),
          ...extentOf(frame, name),
          mass: weighed[name].mass,
          girth: [near * girth, far * girth],
          limits: limitsOf(name, spec.feet),
        },
      ];
    }),
  ) as Record<SegmentName, Segment>;
  const extras = buildExtras(spec, plain);
  const segments = withExtras(plain, extras);
  if (extras.length > 0) remarks.push(EXTRA_REMARK);
  if (spec.feet === 'paw' || spec.feet === 'hoof') remarks.push(FOOT_REMARKS[spec.feet]);

  const side = (s: 'L' | 'R'): SideSizes => ({
    foot: feet[s],
    hand: factor(`hand${s}`, 'length') * scale,
    forearmLength: lengthOf(frame, `forearm${s}`),
    forearmGirth: segments[`forearm${s}`].girth[1],
    shankLength: lengthOf(frame, `shank${s}`),
    kneeGirth: segments[`shank${s}`].girth[0],
  });
  const plainHip = plan.ankleHeight + plan.lengths.shank + plan.lengths.thigh;
  const pelvis = factor('pelvis', 'length') * scale;
  const patches = buildPatches(
    plan,
    {
      L: side('L'),
      R: side('R'),
      pelvis,
      chest: factor('chest', 'length') * scale,
      // Hip joints above a seat: hip height less what sitting down takes off the stature.
      seatDrop: (plainHip - (1 - plan.ratios.sittingHeight)) * pelvis,
      chestLength: lengthOf(frame, 'chest'),
    },
    extras,
  );
  return {
    spec,
    segments,
    patches,
    extras,
    weighed,
    hipHeight: hip * scale,
    footLength: feet.L.length,
    remarks,
  };
}

const EXTRA_REMARK =
  'Extra parts have no published masses: each has the share of the body that was set, and the rest is closed to what is left.';
const FOOT_REMARKS = {
  paw: 'Paws have no published measures: 0.85 as long and 1.55 as broad as the table’s feet, and all of the sole counts.',
  hoof: 'Hooves have no published measures: half as long and 1.25 as broad as the table’s feet, under the ankle, and all of the sole counts.',
} as const;

/** The segments with what hangs on them; a neck also lifts the head. */
function withExtras(
  plain: Readonly<Record<SegmentName, Segment>>,
  extras: readonly Extra[],
): Record<SegmentName, Segment> {
  const segments = { ...plain };
  for (const extra of extras) {
    const own = segments[extra.parent];
    const mass = own.mass + extra.mass;
    const sum = add(scaled(own.centre, own.mass), scaled(extra.centre, extra.mass));
    const centre = mass > 0 ? scaled(sum, 1 / mass) : own.centre;
    segments[extra.parent] = { ...own, mass, centre };
    if (extra.kind === 'neck') segments.head = { ...segments.head, offset: tipOf(extra) };
  }
  return segments;
}

/** Hip and crown height of the overridden body as shares of the plain stature; the longer leg counts. */
function heightShares(plan: BodyPlan, factor: Factor): { hip: number; height: number } {
  const { lengths } = plan;
  const leg = (side: 'L' | 'R'): number =>
    lengths.thigh * factor(`thigh${side}`, 'length') +
    lengths.shank * factor(`shank${side}`, 'length') +
    plan.ankleHeight * factor(`foot${side}`, 'length');
  const hip = Math.max(leg('L'), leg('R'));
  const above = (['pelvis', 'abdomen', 'chest', 'head'] as const).reduce(
    (sum, name) => sum + lengths[name] * factor(name, 'length'),
    0,
  );
  return { hip, height: hip + above };
}

/** What places the segments of one body. */
interface Frame {
  readonly plan: BodyPlan;
  readonly factor: Factor;
  readonly scale: number;
  readonly feet: Readonly<Record<'L' | 'R', FootSize>>;
}

const along = ({ plan, factor, scale }: Frame, name: SegmentName, what: 'lengths' | 'centres') =>
  plan[what][kindOf(name) as Exclude<SegmentKind, 'foot'>] * factor(name, 'length') * scale;

const lengthOf = (frame: Frame, name: SegmentName): number => along(frame, name, 'lengths');

/** Trunk and head reach up from their joint, limbs hang down. */
const upOf = (name: SegmentName): 1 | -1 => (/[LR]$/.test(name) ? -1 : 1);

const sideOf = (name: SegmentName): 'L' | 'R' => (name.endsWith('R') ? 'R' : 'L');

/** Proximal joint in the parent's frame. */
function offsetOf(frame: Frame, name: SegmentName): Vec3 {
  const { plan, factor, scale, feet } = frame;
  const parent = PARENTS[name];
  if (parent === null) return [0, 0, 0];
  const out = sideOf(name) === 'L' ? 1 : -1;
  switch (kindOf(name)) {
    case 'thigh':
      return [out * HALF_HIP_WIDTH * factor('pelvis', 'width') * scale, 0, 0];
    case 'upperArm': {
      // The shoulder joint lies under the acromion; half the measured biacromial breadth is used for it.
      const half = (plan.ratios.biacromialBreadth / 2) * factor('chest', 'width') * scale;
      return [out * half, plan.shoulder * factor('chest', 'length') * scale, 0];
    }
    case 'toes': {
      const foot = feet[sideOf(name)];
      return [0, foot.ballHeight - foot.ankleHeight, foot.ballAhead];
    }
    default:
      return [0, upOf(parent) * lengthOf(frame, parent), 0];
  }
}

/** Distal end and mass centre in the segment's own frame. */
function extentOf(frame: Frame, name: SegmentName): { end: Vec3; centre: Vec3 } {
  const foot = frame.feet[sideOf(name)];
  switch (kindOf(name)) {
    case 'foot':
      return {
        end: [0, foot.ballHeight - foot.ankleHeight, foot.ballAhead],
        centre: [0, -foot.ankleHeight / 2, foot.centreAhead],
      };
    case 'toes':
      return { end: [0, -foot.ballHeight * 0.4, foot.toeLength], centre: [0, 0, 0] };
    default:
      return {
        end: [0, upOf(name) * lengthOf(frame, name), 0],
        centre: [0, upOf(name) * along(frame, name, 'centres'), 0],
      };
  }
}

/** Mass of every segment: the table's share times its factor, closed to what extra parts leave. */
function closeMasses(
  spec: BodySpec,
  { published }: BodyPlan,
  factor: Factor,
): Readonly<Record<SegmentName, Weighed>> {
  const raw = SEGMENTS.map((name) => {
    const kind = kindOf(name);
    const share = kind === 'toes' ? 0 : published[kind as SegmentKind].mass;
    return { name, share, factor: factor(name, 'mass') };
  });
  const sum = raw.reduce((total, row) => total + row.share * row.factor, 0);
  const closing = extraShares(spec).rest / sum;
  return Object.fromEntries(
    raw.map(({ name, share, factor: by }): [SegmentName, Weighed] => [
      name,
      { mass: share * by * closing * spec.mass, published: share, factor: by, closing },
    ]),
  ) as Record<SegmentName, Weighed>;
}
