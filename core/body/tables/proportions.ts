/**
 * Heights, breadths and depths as shares of stature, for what the segment tables leave open.
 *
 * WINTER: Drillis R, Contini R (1966) Body Segment Parameters, NYU Technical Report 1166-03, as
 * reproduced in Winter (2009) Fig. 4.1.
 * ANSUR: Gordon CC et al. (2014) 2012 Anthropometric Survey of U.S. Army Personnel, Natick/TR-15/007,
 * means of the ratio to stature over the public raw data (men n 4082, women n 1986).
 */
export const WINTER = {
  ankleHeight: 0.039,
  kneeHeight: 0.285,
  hipHeight: 0.53,
  shoulderHeight: 0.818,
  elbowHeight: 0.63,
  wristHeight: 0.485,
  handLength: 0.108,
  footLength: 0.152,
  footBreadth: 0.055,
} as const;

interface Ratios {
  readonly cervicaleHeight: number;
  readonly biacromialBreadth: number;
  readonly sittingHeight: number;
  readonly tragionToCrown: number;
  readonly palmLength: number;
  readonly handBreadth: number;
  readonly heelBreadth: number;
  readonly malleolarBreadth: number;
  /** Ball of the foot from the heel, over foot length. */
  readonly ballOverFoot: number;
  readonly hipBreadth: number;
  readonly waistBreadth: number;
  readonly waistDepth: number;
  readonly chestBreadth: number;
  readonly chestDepth: number;
  readonly headBreadth: number;
  readonly headLength: number;
}

const MALE: Ratios = {
  cervicaleHeight: 0.8639,
  biacromialBreadth: 0.2368,
  sittingHeight: 0.5231,
  tragionToCrown: 0.0748,
  palmLength: 0.0663,
  handBreadth: 0.0503,
  heelBreadth: 0.0413,
  malleolarBreadth: 0.0426,
  ballOverFoot: 0.741,
  hipBreadth: 0.197,
  waistBreadth: 0.186,
  waistDepth: 0.1355,
  chestBreadth: 0.1649,
  chestDepth: 0.1446,
  headBreadth: 0.088,
  headLength: 0.1137,
};

const FEMALE: Ratios = {
  cervicaleHeight: 0.857,
  biacromialBreadth: 0.2244,
  sittingHeight: 0.5262,
  tragionToCrown: 0.0778,
  palmLength: 0.0668,
  handBreadth: 0.048,
  heelBreadth: 0.0413,
  malleolarBreadth: 0.0412,
  ballOverFoot: 0.7392,
  hipBreadth: 0.2174,
  waistBreadth: 0.1842,
  waistDepth: 0.1309,
  chestBreadth: 0.1655,
  chestDepth: 0.152,
  headBreadth: 0.0909,
  headLength: 0.1167,
};

/** Means of the two sexes, for the table that does not part them. */
const BOTH = Object.fromEntries(
  Object.entries(MALE).map(([key, value]) => [key, (value + FEMALE[key as keyof Ratios]) / 2]),
) as unknown as Ratios;

export const ANSUR = { male: MALE, female: FEMALE, both: BOTH } as const;
export type BodyRatios = Ratios;

/**
 * Half the distance between the hip joint centres, over stature: 0.07726 m in the Rajagopal 2016
 * model (IEEE Trans Biomed Eng 63:2068), whose nominal stature is 1.70 m (from memory).
 */
export const HALF_HIP_WIDTH = 0.07726 / 1.7;

/**
 * Ankle joint ahead of the rearmost point of the heel, over foot length. The sample foot of the
 * functional support data (Millard & Sloot 2025) has 0.19-0.21; 0.21 is inside it and gives the lean
 * limits of the flat model that the demo scenes were reckoned with.
 */
export const ANKLE_FROM_HEEL = 0.21;
