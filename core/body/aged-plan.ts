import type { BodyPlan } from './plan.ts';
import {
  type ChildShares,
  HEAD_AT_FOUR,
  HEAD_HEIGHT,
  JENSEN_CHILD,
  JENSEN_ELDERLY,
  type LimbShares,
  UPPER_TO_LOWER,
  USUAL_SIZE,
} from './tables/jensen.ts';
import type { PublishedTable, SegmentKind } from './tables/published.ts';

/** Ages that the child table speaks of, years. */
export const AGE_RANGE = [4, 18] as const;

/** The value at `x` of points sorted by their first number; flat beyond both ends. */
function interpolate(points: readonly (readonly [x: number, y: number])[], x: number): number {
  const next = points.findIndex(([at]) => at >= x);
  if (next === -1) return points.at(-1)![1];
  const [x1, y1] = points[next]!;
  if (next === 0) return y1;
  const [x0, y0] = points[next - 1]!;
  return y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
}

/**
 * Mass shares of a child of an age, straight between the published ages; at 4 years the published
 * curve's head, the rest in the ratios of 6 years.
 */
export function childShares(age: number): ChildShares {
  const six = JENSEN_CHILD[6];
  const rest = (1 - HEAD_AT_FOUR) / (1.002 - six.head);
  const at = (key: keyof ChildShares): number => {
    const four = key === 'head' ? HEAD_AT_FOUR : six[key] * rest;
    const rows = ([6, 12, 15, 18] as const).map((year) => [year, JENSEN_CHILD[year][key]] as const);
    return interpolate([[4, four], ...rows], age);
  };
  return {
    head: at('head'),
    trunk: at('trunk'),
    upperArm: at('upperArm'),
    forearm: at('forearm'),
    hand: at('hand'),
    thigh: at('thigh'),
    shank: at('shank'),
    foot: at('foot'),
  };
}

/** Usual stature (m) and mass (kg) at an age, to start from. */
export function usualSize(age: number): { readonly stature: number; readonly mass: number } {
  const stature = interpolate(
    USUAL_SIZE.map(([year, metres]) => [year, metres]),
    age,
  );
  const mass = interpolate(
    USUAL_SIZE.map(([year, , kilograms]) => [year, kilograms]),
    age,
  );
  return { stature, mass };
}

/** A published table with other masses: limbs as given, trunk parts as named. */
function withMasses(
  table: PublishedTable,
  limbs: LimbShares,
  trunk: Readonly<Record<'head' | 'chest' | 'abdomen' | 'pelvis', number>>,
): PublishedTable {
  const masses: Readonly<Record<SegmentKind, number>> = {
    ...trunk,
    upperArm: limbs.upperArm,
    forearm: limbs.forearm,
    hand: limbs.hand,
    thigh: limbs.thigh,
    shank: limbs.shank,
    foot: limbs.foot,
  };
  return Object.fromEntries(
    Object.entries(table).map(([kind, row]) => [
      kind,
      { ...row, mass: masses[kind as SegmentKind] },
    ]),
  ) as unknown as PublishedTable;
}

/** A child: Jensen's masses on de Leva's joints, with the head and the legs of its age. */
export function childPlan(base: BodyPlan, age: number): BodyPlan {
  const shares = childShares(age);
  const { published, lengths: adult, centres } = base;
  const trunkMass = published.chest.mass + published.abdomen.mass + published.pelvis.mass;
  const part = (kind: 'chest' | 'abdomen' | 'pelvis'): number =>
    (shares.trunk * published[kind].mass) / trunkMass;
  const headGrowth = interpolate(HEAD_HEIGHT, age) / interpolate(HEAD_HEIGHT, AGE_RANGE[1]);
  const legGrowth = 2 / (1 + interpolate(UPPER_TO_LOWER, age));
  const hip = (base.ankleHeight + adult.shank + adult.thigh) * legGrowth;
  const leg = (hip - base.ankleHeight) / (adult.shank + adult.thigh);
  const head = adult.head * headGrowth;
  const trunk = (1 - hip - head) / (adult.pelvis + adult.abdomen + adult.chest);
  const growth: Readonly<Record<Exclude<SegmentKind, 'foot'>, number>> = {
    head: headGrowth,
    chest: trunk,
    abdomen: trunk,
    pelvis: trunk,
    upperArm: legGrowth,
    forearm: legGrowth,
    hand: legGrowth,
    thigh: leg,
    shank: leg,
  };
  const grown = (values: BodyPlan['lengths']): BodyPlan['lengths'] =>
    Object.fromEntries(
      Object.entries(values).map(([kind, value]) => [kind, value * growth[kind as 'head']]),
    ) as unknown as BodyPlan['lengths'];
  const size = usualSize(age);
  return {
    ...base,
    title: 'Jensen, children by age',
    source:
      'Jensen RK (1986) J Biomech 19:359-368 and (1989) 22:529-536, boys of 6, 12, 15 and 18 years (masses); height of the head after Stratz (1909, from memory), legs by crown-to-pubis over pubis-to-heel (a hospital’s page); joints of the trunk and mass centres from de Leva (1996), men',
    published: withMasses(published, shares, {
      head: shares.head,
      chest: part('chest'),
      abdomen: part('abdomen'),
      pelvis: part('pelvis'),
    }),
    ratios: {
      ...base.ratios,
      cervicaleHeight: 1 - head,
      sittingHeight:
        base.ratios.sittingHeight + (base.lengths.thigh + base.lengths.shank) * (1 - leg),
    },
    remarks: [
      `Children are weighed by Jensen’s boys, straight between 6, 12, 15 and 18 years; the printed columns sum to 0.999 to 1.002 and are closed to 1${age < 6 ? '; below 6 years only the head has a published curve, the rest keeps the ratios of 6 years' : ''}.`,
      'The one row of the trunk is parted, and mass centres are placed, as in de Leva’s men: no numbers for children could be read. Arms shorten with the legs, ours.',
    ],
    build: size.mass / size.stature ** 3,
    headSize: headGrowth,
    lengths: grown(adult),
    centres: grown(centres),
    shoulder: base.shoulder * trunk,
  };
}

/**
 * Functional base of support along the foot, older over younger than 60: 0.42 / 0.60 of foot length
 * (King, Judge, Wolfson 1994, J Gerontol). Its area, older over younger: 0.58 (Sloot et al. 2025, Sci
 * Rep, doi 10.1038/s41598-025-22630-x); what is left of that is across.
 */
const OLDER_ALONG = 0.42 / 0.6;
const OLDER_ACROSS = 0.58 / OLDER_ALONG;

/** An older adult: the masses of Jensen & Fletcher on de Leva's joints, and a smaller functional foot. */
export function elderlyPlan(base: BodyPlan, sex: 'female' | 'male'): BodyPlan {
  const shares = JENSEN_ELDERLY[sex];
  const { abdomen, pelvis } = base.published;
  const low = shares.lowerTrunk / (abdomen.mass + pelvis.mass);
  return {
    ...base,
    title: `Jensen & Fletcher, older ${sex === 'female' ? 'women' : 'men'}`,
    source:
      'Jensen RK, Fletcher P (1994) J Biomech 27:89-96 (masses); lengths and mass centres from de Leva (1996); functional foot by King et al. (1994) and Sloot et al. (2025)',
    published: withMasses(base.published, shares, {
      head: shares.head,
      chest: shares.thorax,
      abdomen: abdomen.mass * low,
      pelvis: pelvis.mass * low,
    }),
    remarks: [
      `Older ${sex === 'female' ? 'women' : 'men'}: abdomen and pelvis are one printed row, parted as in de Leva; no lengths are published, so they are those of younger adults${sex === 'male' ? '; the printed shares add up to 1.002 and are closed to 1' : ''}.`,
      'From 60 years on the part of the sole that can carry is 0.42 instead of 0.60 of foot length, and 58 % of the area.',
    ],
    holdable: [OLDER_ALONG, OLDER_ACROSS],
  };
}
