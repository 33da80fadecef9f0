import type { PublishedTable } from './published.ts';

/**
 * Winter DA (2009) Biomechanics and Motor Control of Human Movement, 4th ed., Wiley, Table 4.1
 * (page 86, page number from memory): Dempster 1955 via Miller & Nelson 1973 and Plagenhoef 1971. Not
 * separated by sex. The table gives no lengths; they are taken from Winter's Fig. 4.1
 * (proportions.ts). Old, thin cadavers: the thighs are light, so a standing centre comes out about
 * 2 % higher than in measured people.
 */
export const DEMPSTER_WINTER: PublishedTable = {
  head: { from: 'C7-T1', to: 'ear canal', mass: 0.081, centre: 1, length: null },
  chest: { from: 'C7-T1', to: 'T12-L1', mass: 0.216, centre: 0.82, length: null },
  abdomen: { from: 'T12-L1', to: 'L4-L5', mass: 0.139, centre: 0.44, length: null },
  pelvis: { from: 'L4-L5', to: 'greater trochanter', mass: 0.142, centre: 0.105, length: null },
  upperArm: { from: 'shoulder', to: 'elbow', mass: 0.028, centre: 0.436, length: null },
  forearm: { from: 'elbow', to: 'ulnar styloid', mass: 0.016, centre: 0.43, length: null },
  hand: { from: 'wrist', to: 'knuckle II', mass: 0.006, centre: 0.506, length: null },
  thigh: { from: 'greater trochanter', to: 'knee', mass: 0.1, centre: 0.433, length: null },
  shank: { from: 'knee', to: 'medial malleolus', mass: 0.0465, centre: 0.433, length: null },
  foot: { from: 'lateral malleolus', to: 'metatarsal II', mass: 0.0145, centre: 0.5, length: null },
};

/** Whole-limb rows of the same table, for checks: head, arms and trunk together; one leg. */
export const DEMPSTER_GROUPS = { headArmsTrunk: 0.678, leg: 0.161 } as const;
