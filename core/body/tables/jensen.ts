/**
 * Mass shares of children and of older adults, as printed: parts of the whole body's mass, limbs one
 * side. None of them gives lengths, and the trunk of the children is one row.
 */
export interface LimbShares {
  readonly upperArm: number;
  readonly forearm: number;
  readonly hand: number;
  readonly thigh: number;
  readonly shank: number;
  readonly foot: number;
}

export interface ChildShares extends LimbShares {
  /** Head with neck. */
  readonly head: number;
  readonly trunk: number;
}

export interface ElderlyShares extends LimbShares {
  readonly head: number;
  readonly thorax: number;
  /** Abdomen and pelvis in one. */
  readonly lowerTrunk: number;
}

/**
 * Boys. Jensen RK (1986) Body segment mass, radius and radius of gyration proportions of children. J
 * Biomech 19:359-368 (12 and 15 years); Jensen RK (1989) Changes in segment inertia proportions between
 * 4 and 20 years. J Biomech 22:529-536 (6 and 18 years). Read in wspr/body-segment-param @ 843b58b,
 * data/scaled-mass (Apache-2.0). The columns sum to 1.002, 1.002, 0.999 and 1.002 as printed.
 */
export const JENSEN_CHILD: Readonly<Record<6 | 12 | 15 | 18, ChildShares>> = {
  6: {
    ...{ head: 0.182, trunk: 0.43, upperArm: 0.024, forearm: 0.013 },
    ...{ hand: 0.008, thigh: 0.085, shank: 0.046, foot: 0.019 },
  },
  12: {
    ...{ head: 0.101, trunk: 0.417, upperArm: 0.032, forearm: 0.017 },
    ...{ hand: 0.009, thigh: 0.11, shank: 0.053, foot: 0.021 },
  },
  15: {
    ...{ head: 0.067, trunk: 0.416, upperArm: 0.035, forearm: 0.017 },
    ...{ hand: 0.008, thigh: 0.121, shank: 0.056, foot: 0.021 },
  },
  18: {
    ...{ head: 0.07, trunk: 0.446, upperArm: 0.036, forearm: 0.019 },
    ...{ hand: 0.009, thigh: 0.114, shank: 0.048, foot: 0.017 },
  },
};

/**
 * Share of the head at 4 years by the curve of Jensen (1989), 0.27881 - 0.021152 age + 0.00053168 age²,
 * given for 4 to 20 years; read in the AIST human characteristics database, pages k-12 and k-13.
 */
export const HEAD_AT_FOUR = 0.27881 - 0.021152 * 4 + 0.00053168 * 16;

/**
 * Jensen RK, Fletcher P (1994) Distribution of mass to the segments of elderly males and females. J
 * Biomech 27:89-96. Read in wspr/body-segment-param, same commit. Sums 1.000 (women) and 1.002 (men).
 */
export const JENSEN_ELDERLY: Readonly<Record<'female' | 'male', ElderlyShares>> = {
  female: {
    ...{ head: 0.074, thorax: 0.156, lowerTrunk: 0.306, upperArm: 0.032, forearm: 0.011 },
    ...{ hand: 0.005, thigh: 0.128, shank: 0.044, foot: 0.012 },
  },
  male: {
    ...{ head: 0.069, thorax: 0.145, lowerTrunk: 0.37, upperArm: 0.032, forearm: 0.018 },
    ...{ hand: 0.007, thigh: 0.095, shank: 0.043, foot: 0.014 },
  },
};

/**
 * Height of the head over stature by age, the scheme of Stratz (1909): the newborn's value read on two
 * secondary pages, the others from memory.
 */
export const HEAD_HEIGHT: readonly (readonly [age: number, share: number])[] = [
  [2, 1 / 5],
  [6, 1 / 6],
  [12, 1 / 7],
  [18, 1 / 8],
];

/**
 * Crown to pubis over pubis to heel by age (thechildren.com, a children's hospital's page; another page
 * puts the 1.0 at 10 years). From 7 years on legs count as an adult's.
 */
export const UPPER_TO_LOWER: readonly (readonly [age: number, ratio: number])[] = [
  [1, 1.5],
  [5, 1.2],
  [7, 1],
];

/**
 * Usual stature and mass of boys and girls by age, metres and kilograms: medians of the CDC growth
 * charts (2000), both sexes' mean, rounded; from memory. Offered as a start, nothing is weighed by it.
 */
export const USUAL_SIZE: readonly (readonly [age: number, stature: number, mass: number])[] = [
  [4, 1.02, 16.2],
  [5, 1.09, 18.2],
  [6, 1.15, 20.5],
  [8, 1.28, 25.6],
  [10, 1.38, 32.5],
  [12, 1.5, 41],
  [14, 1.62, 50],
  [16, 1.68, 57],
  [18, 1.7, 62],
];
