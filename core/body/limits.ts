import type { FootForm, JointLimits, SegmentName } from './types.ts';

/**
 * Joint ranges of adults, degrees. AAOS norms (F.A. Davis, Table A.1; lower limb and trunk from
 * memory), widened where a source of measured people or a weight-bearing pose needs it: knee 140
 * ("Normal ROM" sheet), hip flexion 130 (CDC, Soucie et al. 2011, passive: men of 20-44 years 130.4, women
 * 133.8; that a swing ends at an ellipse would else spread a bent hip too little), ankle 30 up (limit of the Rajagopal 2016
 * model: a deep crouch needs more than the 20 of a free foot). The back's 80 / 25 / 35 / 45 are
 * shared equally by its two joints.
 *
 * Signs are those of a rotation vector at the joint of the LEFT side (see core/pose/angles.ts):
 * x > 0 brings a limb's lower end back, or the trunk's top forward; z > 0 takes a left limb's lower
 * end outward, or the trunk's top to the figure's right; y > 0 turns the front to the figure's left.
 */
type Degrees = readonly [
  xMin: number,
  xMax: number,
  yMin: number,
  yMax: number,
  zMin: number,
  zMax: number,
];

const ROOT: Degrees = [-180, 180, -180, 180, -180, 180];
const LEFT: Readonly<Record<string, Degrees>> = {
  pelvis: ROOT,
  abdomen: [-12.5, 40, -22.5, 22.5, -17.5, 17.5],
  chest: [-12.5, 40, -22.5, 22.5, -17.5, 17.5],
  head: [-45, 45, -60, 60, -45, 45],
  upperArm: [-180, 60, -70, 90, -30, 180],
  forearm: [-150, 0, -80, 80, 0, 0],
  hand: [-20, 30, 0, 0, -80, 70],
  thigh: [-130, 30, -45, 45, -30, 45],
  shank: [0, 140, -10, 10, 0, 0],
  foot: [-30, 50, -10, 10, -35, 15],
  toes: [-60, 40, 0, 0, 0, 0],
};

const toRadians = (d: Degrees, mirrored: boolean): JointLimits => {
  const [x0, x1, y0, y1, z0, z1] = d.map((a) => (a * Math.PI) / 180) as unknown as Degrees;
  return mirrored
    ? { x: [x0, x1], y: [0 - y1, 0 - y0], z: [0 - z1, 0 - z0] }
    : { x: [x0, x1], y: [y0, y1], z: [z0, z1] };
};

const STIFF: JointLimits = { x: [0, 0], y: [0, 0], z: [0, 0] };

/** Ranges of the joint above a segment; the right side is the left one's mirror image. A hoof has no toes to bend. */
export function limitsOf(segment: SegmentName, feet: FootForm = 'foot'): JointLimits {
  if (feet === 'hoof' && segment.startsWith('toes')) return STIFF;
  const side = segment.slice(-1);
  const kind = side === 'L' || side === 'R' ? segment.slice(0, -1) : segment;
  const limits = toRadians(LEFT[kind] ?? ROOT, side === 'R');
  return kind === 'foot' ? { ...limits, apart: true } : limits;
}
