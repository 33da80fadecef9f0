import { childPlan, elderlyPlan } from './aged-plan.ts';
import { DELEVA_FEMALE, DELEVA_MALE, DELEVA_REFERENCE } from './tables/deleva.ts';
import { DEMPSTER_WINTER } from './tables/dempster.ts';
import { ANKLE_FROM_HEEL, ANSUR, type BodyRatios, WINTER } from './tables/proportions.ts';
import type { PublishedTable, SegmentKind } from './tables/published.ts';
import type { BodySpec, TableName } from './types.ts';

/**
 * A table laid on the skeleton: every length and place as a share of stature, for an upright body.
 * What buildBody scales, overrides and closes.
 */
export interface BodyPlan {
  readonly title: string;
  readonly source: string;
  readonly published: PublishedTable;
  readonly ratios: BodyRatios;
  readonly remarks: readonly string[];
  /** Mass per stature cubed of the reference group, kg/m³: the girths are drawn for it. */
  readonly build: number;
  readonly ankleHeight: number;
  readonly footLength: number;
  readonly footBreadth: number;
  /** Joint to joint (pelvis: hip to the joint above; chest: to C7; head: C7 to crown; hand: to the fingertip). */
  readonly lengths: Readonly<Record<Exclude<SegmentKind, 'foot'>, number>>;
  /** Mass centre from the proximal joint along the segment (up for trunk and head, down for limbs). */
  readonly centres: Readonly<Record<Exclude<SegmentKind, 'foot'>, number>>;
  /** Mass centre of the foot ahead of the ankle; it lies half way down to the sole. */
  readonly footCentre: number;
  /** Shoulder joint above the chest's joint. */
  readonly shoulder: number;
  /** Height of the head over an adult's at the same stature. */
  readonly headSize: number;
  /** Functional foot over the published one of young adults, along and across. */
  readonly holdable: readonly [along: number, across: number];
}

function delevaPlan(
  sex: 'male' | 'female',
  table: PublishedTable,
  title: string,
  remark: string,
): BodyPlan {
  const reference = DELEVA_REFERENCE[sex];
  const ratios = ANSUR[sex];
  const share = (kind: SegmentKind): number => (table[kind].length ?? 0) / reference.stature;
  const down = (kind: SegmentKind): number => share(kind) * table[kind].centre;
  // Rows of trunk and head run downwards; from the lower joint the centre is at 1 - share.
  const up = (kind: SegmentKind): number => share(kind) * (1 - table[kind].centre);
  const hip = WINTER.ankleHeight + share('shank') + share('thigh');
  const chestJoint = hip + share('pelvis') + share('abdomen');
  const neckJoint = ratios.cervicaleHeight;
  // The head's mass stays where the published lengths put it above the published C7; only the joint
  // about which the head turns is placed at the measured height of C7.
  const headCentre = chestJoint + share('chest') + up('head');
  return {
    title,
    source:
      'de Leva P (1996) J Biomech 29(9):1223-1230, Table 4; ankle height, foot length and breadth from Winter (2009) Fig. 4.1; breadths and the height of C7 from ANSUR II (2012)',
    published: table,
    ratios,
    remarks: [remark],
    build: reference.mass / reference.stature ** 3,
    ankleHeight: WINTER.ankleHeight,
    footLength: WINTER.footLength,
    footBreadth: WINTER.footBreadth,
    lengths: {
      thigh: share('thigh'),
      shank: share('shank'),
      pelvis: share('pelvis'),
      abdomen: share('abdomen'),
      chest: neckJoint - chestJoint,
      head: 1 - neckJoint,
      upperArm: share('upperArm'),
      forearm: share('forearm'),
      hand: share('hand'),
    },
    centres: {
      thigh: down('thigh'),
      shank: down('shank'),
      pelvis: up('pelvis'),
      abdomen: up('abdomen'),
      chest: up('chest'),
      head: headCentre - neckJoint,
      upperArm: down('upperArm'),
      forearm: down('forearm'),
      hand: down('hand'),
    },
    footCentre: (table.foot.centre - ANKLE_FROM_HEEL) * WINTER.footLength,
    shoulder: hip + reference.shoulderAboveHip / reference.stature - chestJoint,
    headSize: 1,
    holdable: [1, 1],
  };
}

/**
 * Winter's heights and Dempster's shares. The table names the joints T12-L1 and L4-L5 but no heights
 * for them. They follow from the table itself: the rows for pelvis, for abdomen and pelvis together
 * (centre 0.27 from T12-L1 to the trochanter) and for the whole trunk (centre half way from the
 * trochanter to the shoulder) agree for one pair of heights only.
 */
function winterPlan(): BodyPlan {
  const table = DEMPSTER_WINTER;
  const ratios = ANSUR.both;
  const { pelvis, abdomen, chest } = table;
  const neck = ratios.cervicaleHeight - WINTER.hipHeight;
  // x = L4-L5 and y = T12-L1 above the hip. Lower trunk: m_a (0.56 y + 0.44 x) + m_p 0.895 x = 0.281 · 0.73 y.
  const low = abdomen.mass + pelvis.mass;
  const perX = abdomen.mass * abdomen.centre + pelvis.mass * (1 - pelvis.centre);
  const perY = low * 0.73 - abdomen.mass * (1 - abdomen.centre);
  // Whole trunk: 0.281 · 0.73 y + m_c (0.18 neck + 0.82 y) = 0.497 · 0.5 · (hip to shoulder).
  const trunk = (low + chest.mass) * 0.5 * (WINTER.shoulderHeight - WINTER.hipHeight);
  const y =
    (trunk - chest.mass * (1 - chest.centre) * neck) / (low * 0.73 + chest.mass * chest.centre);
  const x = (perY / perX) * y;
  const thigh = WINTER.hipHeight - WINTER.kneeHeight;
  const shank = WINTER.kneeHeight - WINTER.ankleHeight;
  const upperArm = WINTER.shoulderHeight - WINTER.elbowHeight;
  const forearm = WINTER.elbowHeight - WINTER.wristHeight;
  // Wrist to knuckle: the palm as measured (ANSUR palm length reaches the base of the middle finger).
  const palm = ratios.palmLength;
  return {
    title: 'Dempster, as in Winter',
    source:
      'Winter DA (2009) Biomechanics and Motor Control of Human Movement, 4th ed., Table 4.1 (masses, centres) and Fig. 4.1 (lengths); breadths and the height of C7 from ANSUR II (2012)',
    published: table,
    ratios,
    remarks: [
      'Dempster, as in Winter: not parted by sex; measured on old, thin bodies, so the centre stands about 2 % of stature higher than in measured people.',
      'The joints of the trunk are placed where the rows of the table agree with each other, as the table gives no heights for them.',
    ],
    build: 70 / 1.7 ** 3,
    ankleHeight: WINTER.ankleHeight,
    footLength: WINTER.footLength,
    footBreadth: WINTER.footBreadth,
    lengths: {
      thigh,
      shank,
      pelvis: x,
      abdomen: y - x,
      chest: neck - y,
      head: 1 - ratios.cervicaleHeight,
      upperArm,
      forearm,
      hand: WINTER.handLength,
    },
    centres: {
      thigh: thigh * table.thigh.centre,
      shank: shank * table.shank.centre,
      pelvis: x * (1 - pelvis.centre),
      abdomen: (y - x) * (1 - abdomen.centre),
      chest: (neck - y) * (1 - chest.centre),
      head: 1 - ratios.tragionToCrown - ratios.cervicaleHeight,
      upperArm: upperArm * table.upperArm.centre,
      forearm: forearm * table.forearm.centre,
      hand: palm * table.hand.centre,
    },
    footCentre: (ratios.ballOverFoot - ANKLE_FROM_HEEL) * WINTER.footLength * table.foot.centre,
    shoulder: WINTER.shoulderHeight - WINTER.hipHeight - y,
    headSize: 1,
    holdable: [1, 1],
  };
}

const MALE = delevaPlan(
  'male',
  DELEVA_MALE,
  'de Leva, men',
  'de Leva, men: the published lengths, stacked along slanting axes of trunk and head, reach 2 % over the stature. The crown is drawn at the stature; joints and mass centres stay at the published lengths.',
);
const FEMALE = delevaPlan(
  'female',
  DELEVA_FEMALE,
  'de Leva, women',
  'de Leva, women: the printed mass shares add up to 0.9999 and are closed to 1.',
);

const PLANS: Readonly<Record<Exclude<TableName, 'jensen-child'>, BodyPlan>> = {
  'deleva-male': MALE,
  'deleva-female': FEMALE,
  'dempster-winter': winterPlan(),
  'jensen-elderly-female': elderlyPlan(FEMALE, 'female'),
  'jensen-elderly-male': elderlyPlan(MALE, 'male'),
};

/** Age of a child where none is set, years. */
export const USUAL_AGE = 8;

const children = new Map<number, BodyPlan>();

/** The plan of a body: its table's, for a child at its age (in tenths of a year). */
export function planOf({ table, age = USUAL_AGE }: Pick<BodySpec, 'table' | 'age'>): BodyPlan {
  if (table !== 'jensen-child') return PLANS[table];
  const years = Math.round(age * 10) / 10;
  const known = children.get(years);
  if (known !== undefined) return known;
  const plan = childPlan(MALE, years);
  children.set(years, plan);
  return plan;
}

/** Name, source and remarks of a table, for the weight ledger; `age` (years) counts for a child. */
export function tableInfo(
  table: TableName,
  age?: number,
): {
  readonly name: string;
  readonly source: string;
  readonly remarks: readonly string[];
} {
  const { title, source, remarks } = planOf({ table, ...(age === undefined ? {} : { age }) });
  return { name: title, source, remarks };
}
