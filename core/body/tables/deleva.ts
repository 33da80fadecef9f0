import type { PublishedTable } from './published.ts';

/**
 * de Leva P (1996) Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters. Journal of
 * Biomechanics 29(9):1223-1230, doi 10.1016/0021-9290(95)00178-6, Table 4 (page 1228, page number from
 * memory). Lengths are the means of the measured students.
 *
 * Landmarks: VERT top of the head, CERV tip of the C7 spine, XYPH lower end of the breastbone, OMPH
 * navel, MIDH middle of the hip joint centres, SJC/EJC/WJC/HJC/KJC/AJC joint centres of shoulder,
 * elbow, wrist, hip, knee, ankle, DAC3 tip of the middle finger, HEEL, TTIP tip of the longest toe.
 *
 * Of the rows that the table gives twice the ones are taken whose ends this skeleton has: the trunk's
 * three parts from C7 down (their lengths add up to CERV-MIDH exactly), the head from C7, the hand to
 * its fingertip, the shank to the ankle joint. The women's masses add up to 0.9999 (printed to two
 * decimals of a percent) and are closed to 1 by buildBody. The men's three trunk parts put the trunk's
 * centre 3 mm below where the row for the whole trunk has it; they are used as printed.
 */
export const DELEVA_MALE: PublishedTable = {
  head: { from: 'VERT', to: 'CERV', mass: 0.0694, centre: 0.5002, length: 0.2429 },
  chest: { from: 'CERV', to: 'XYPH', mass: 0.1596, centre: 0.5066, length: 0.2421 },
  abdomen: { from: 'XYPH', to: 'OMPH', mass: 0.1633, centre: 0.4502, length: 0.2155 },
  pelvis: { from: 'OMPH', to: 'MIDH', mass: 0.1117, centre: 0.6115, length: 0.1457 },
  upperArm: { from: 'SJC', to: 'EJC', mass: 0.0271, centre: 0.5772, length: 0.2817 },
  forearm: { from: 'EJC', to: 'WJC', mass: 0.0162, centre: 0.4574, length: 0.2689 },
  hand: { from: 'WJC', to: 'DAC3', mass: 0.0061, centre: 0.3624, length: 0.1879 },
  thigh: { from: 'HJC', to: 'KJC', mass: 0.1416, centre: 0.4095, length: 0.4222 },
  shank: { from: 'KJC', to: 'AJC', mass: 0.0433, centre: 0.4395, length: 0.4403 },
  foot: { from: 'HEEL', to: 'TTIP', mass: 0.0137, centre: 0.4415, length: 0.2581 },
};

export const DELEVA_FEMALE: PublishedTable = {
  head: { from: 'VERT', to: 'CERV', mass: 0.0668, centre: 0.4841, length: 0.2437 },
  chest: { from: 'CERV', to: 'XYPH', mass: 0.1545, centre: 0.505, length: 0.228 },
  abdomen: { from: 'XYPH', to: 'OMPH', mass: 0.1465, centre: 0.4512, length: 0.2053 },
  pelvis: { from: 'OMPH', to: 'MIDH', mass: 0.1247, centre: 0.492, length: 0.1815 },
  upperArm: { from: 'SJC', to: 'EJC', mass: 0.0255, centre: 0.5754, length: 0.2751 },
  forearm: { from: 'EJC', to: 'WJC', mass: 0.0138, centre: 0.4559, length: 0.2643 },
  hand: { from: 'WJC', to: 'DAC3', mass: 0.0056, centre: 0.3427, length: 0.1701 },
  thigh: { from: 'HJC', to: 'KJC', mass: 0.1478, centre: 0.3612, length: 0.3685 },
  shank: { from: 'KJC', to: 'AJC', mass: 0.0481, centre: 0.4352, length: 0.4386 },
  foot: { from: 'HEEL', to: 'TTIP', mass: 0.0129, centre: 0.4014, length: 0.2283 },
};

/** Mean stature and mass of the measured groups, and MIDS-MIDH (middle of the shoulder joints to middle of the hip joints), metres and kilograms. */
export const DELEVA_REFERENCE = {
  male: { stature: 1.741, mass: 73, shoulderAboveHip: 0.5155 },
  female: { stature: 1.735, mass: 61.9, shoulderAboveHip: 0.4979 },
} as const;
