import { GRAVITY, pendulumRate } from './pendulum.ts';

/**
 * Rising from a seat quickly enough: which forward speed at seat-off brings the centre over the feet.
 *
 * Pai YC, Patton J (1997) Center of mass velocity-position predictions for balance control, Journal of
 * Biomechanics 30:347-354 (erratum 31:199), from the abstract: position in foot lengths behind the heel,
 * speed in body heights a second. Straight lines between the published points; the true curves bend
 * (own estimate: allow 30 %). Computed for a friction of 0.82 and more and a healthy strength at the ankle.
 */
const UPPER: readonly BoundaryPoint[] = [
  { behindHeel: -1, speed: 0 },
  { behindHeel: 0, speed: 0.45 },
  { behindHeel: 2.4, speed: 1.1 },
];
const LOWER: readonly BoundaryPoint[] = [
  { behindHeel: -1, speed: 0 },
  { behindHeel: 0, speed: 0 },
  { behindHeel: 2.7, speed: 0.9 },
];

interface BoundaryPoint {
  /** Foot lengths behind the heel; -1 is the toe. */
  readonly behindHeel: number;
  /** Body heights a second. */
  readonly speed: number;
}

/**
 * Speed on the published boundary, body heights a second; null beyond its last point or in front of
 * the toe.
 * @param behindHeel foot lengths behind the heel, 0 over it, -1 over the toe
 */
export function paiPatton(behindHeel: number, boundary: 'lower' | 'upper'): number | null {
  const points = boundary === 'lower' ? LOWER : UPPER;
  for (let i = 1; i < points.length; i++) {
    const a = points[i - 1]!;
    const b = points[i]!;
    if (behindHeel < a.behindHeel || behindHeel > b.behindHeel) continue;
    const share = (behindHeel - a.behindHeel) / (b.behindHeel - a.behindHeel);
    return a.speed + share * (b.speed - a.speed);
  }
  return null;
}

/** The moment the seat lets go, along the way the figure faces. */
export interface SeatOff {
  /** Distance of the centre behind the heels, metres; negative in front of them. */
  readonly behindHeel: number;
  /** Heel to toe tip, metres. */
  readonly footLength: number;
  /** Height of the centre above the feet, metres. */
  readonly height: number;
  /** Standing height of the body, metres; for the published boundary, null where unknown. */
  readonly stature: number | null;
  /** Forward speed of the centre, metres a second. */
  readonly speed: number;
}

/** Forward speeds at seat-off, metres a second, by each rule. */
export interface SeatOffSpeeds {
  /** Hof's rule: the extrapolated centre between heel and toe. */
  readonly hof: { readonly least: number; readonly most: number };
  /** Energy of a pendulum of fixed length about the heel; for a centre behind the heel, else 0. */
  readonly pendulum: number;
  /** Pai & Patton's boundary; null outside what they published, or without a stature. */
  readonly published: { readonly least: number | null; readonly most: number | null };
  /**
   * The least speed that we judge by: Hof's within one foot length behind the heel, the pendulum's
   * beyond (there the straight rule asks 40 % too much, the pendulum 7 %: own comparison with the
   * published points).
   */
  readonly least: number;
  /** The most that we judge by: Hof's within one foot length of the heel, none beyond. */
  readonly most: number | null;
}

export interface Rise extends SeatOffSpeeds {
  readonly outcome: 'falls back' | 'comes to rest' | 'steps';
  readonly sentence: string;
}

/** Speeds that rising from a seat asks for. Throws RangeError for sizes that are not positive. */
export function seatOffSpeeds(
  { behindHeel, footLength, height, stature }: Omit<SeatOff, 'speed'>,
  g: number = GRAVITY,
): SeatOffSpeeds {
  if (!(footLength > 0))
    throw new RangeError(`a foot needs a positive length, got ${footLength} m`);
  const rate = pendulumRate(height, g);
  const hof = {
    least: Math.max(0, rate * behindHeel),
    most: Math.max(0, rate * (behindHeel + footLength)),
  };
  const pendulum = pendulumSpeed(Math.max(0, behindHeel), height, g);
  const inFeet = behindHeel / footLength;
  const published = (boundary: 'lower' | 'upper'): number | null => {
    const speed = stature === null ? null : paiPatton(inFeet, boundary);
    return speed === null || stature === null ? null : speed * stature;
  };
  return {
    hof,
    pendulum,
    published: { least: published('lower'), most: published('upper') },
    least: inFeet <= 1 ? hof.least : pendulum,
    most: inFeet <= 1 ? hof.most : null,
  };
}

/**
 * Level speed with which a mass on a rod, `behind` metres behind its foot and `height` above it, just
 * reaches the vertical: cos(th) sqrt(2 g l (1 - cos th)), l the rod and th its lean.
 */
export function pendulumSpeed(behind: number, height: number, g: number = GRAVITY): number {
  const length = Math.hypot(behind, height);
  const cos = height / length;
  return cos * Math.sqrt(2 * g * (length - height));
}

/** What becomes of a rise at the speed it has. Throws RangeError like `seatOffSpeeds`. */
export function riseFromSeat(seatOff: SeatOff, g: number = GRAVITY): Rise {
  const speeds = seatOffSpeeds(seatOff, g);
  const { speed } = seatOff;
  const outcome =
    speed < speeds.least
      ? 'falls back'
      : speeds.most !== null && speed > speeds.most
        ? 'steps'
        : 'comes to rest';
  return { ...speeds, outcome, sentence: sentenceOf(outcome, speed, speeds) };
}

function sentenceOf(outcome: Rise['outcome'], speed: number, speeds: SeatOffSpeeds): string {
  const metres = (value: number): string => `${value.toFixed(2)} m/s`;
  const { least: published } = speeds.published;
  const beside =
    published === null
      ? ''
      : ` (Pai & Patton 1997 ask ${published < 0.005 ? 'none' : metres(published)})`;
  const asked =
    speeds.least < 0.005
      ? `needs no speed at seat-off${beside}`
      : `needs ${metres(speeds.least)} forwards at seat-off${beside}`;
  const has = `has ${speed.toFixed(2)}`;
  if (outcome === 'falls back') return `Rising ${asked}, ${has}: it falls back into the seat.`;
  if (outcome === 'comes to rest')
    return `Rising ${asked}, ${has}: it can come to rest over the feet.`;
  return `Rising ${asked} and bears ${metres(speeds.most ?? 0)}, ${has}: it has to step forward.`;
}
