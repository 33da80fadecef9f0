import { dot, subtract } from '../geometry/index.ts';
import { applyTransform, conjugate, fromAxisAngle, multiply, rotate } from '../geometry/quat.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import { normalise } from '../geometry/vec3.ts';
import { tipOf } from './extras.ts';
import type { Extra, ExtraKind } from './types.ts';

/** How an extra part is turned, radians; as far as `EXTRA_TURNS`. */
export interface Swung {
  /** A wing back, anything else to the figure's left. */
  readonly swing: number;
  /** A neck ahead, anything else up. */
  readonly lift: number;
}

/** How far extra parts turn, radians either way (drawing practice). */
export const EXTRA_TURNS = { swing: (120 * Math.PI) / 180, lift: Math.PI / 2 } as const;

/** 1 and -1 for the wings, which mirror each other; 0 for the rest. */
export const wingOf = (kind: ExtraKind): 1 | -1 | 0 =>
  kind === 'wingL' ? 1 : kind === 'wingR' ? -1 : 0;

/** A tail points behind: swung to the figure's left it turns the other way about the upright. */
const wayOf = (kind: ExtraKind): 1 | -1 => (kind === 'tail' ? -1 : 1);

/** A turn as its two angles. */
export function swungOf(kind: ExtraKind, turn: Quat): Swung {
  const side = wingOf(kind);
  const within = (sine: number): number => Math.asin(Math.max(-1, Math.min(1, sine)));
  if (side === 0) {
    const [x, y, z] = rotate(turn, [0, 0, 1]);
    return { swing: wayOf(kind) * Math.atan2(x, z), lift: within(-y) };
  }
  const [x, y, z] = rotate(turn, [side, 0, 0]);
  return { swing: Math.atan2(-z, side * x), lift: within(y) };
}

/** The turn with these two angles. */
export const turnBy = (kind: ExtraKind, { swing, lift }: Swung): Quat =>
  multiply(fromAxisAngle([0, swingSign(kind), 0], swing), fromAxisAngle(liftAxis(kind), lift));

const swingSign = (kind: ExtraKind): 1 | -1 => wingOf(kind) || wayOf(kind);

const liftAxis = (kind: ExtraKind): Vec3 => {
  const side = wingOf(kind);
  return side === 0 ? [1, 0, 0] : [0, 0, side];
};

/**
 * The turn, within `EXTRA_TURNS`, that points a part's tip at a place: the lift that brings it to the
 * right height, of two the one that comes nearer, then the swing to its side.
 * @param turn how it is turned now
 * @param target in the frame of the part's parent, metres
 */
export function turnTowards(extra: Extra, turn: Quat, target: Vec3): Quat {
  const { kind, links } = extra;
  const root = links[0]!.at.position;
  const tip = normalise(rotate(conjugate(turn), subtract(tipOf(extra), root)));
  const wanted = normalise(subtract(target, root));
  const about = liftAxis(kind);
  // Height over the lift: rise cos + across sin.
  const [rise, across] = [tip[1], about[2] * tip[0] - about[0] * tip[2]];
  const middle = Math.atan2(across, rise);
  const apart = Math.acos(clamp(wanted[1] / Math.hypot(rise, across), 1));
  const turns = [middle - apart, middle + apart].map((angle) => {
    const lift = clamp(wrapped(angle), EXTRA_TURNS.lift);
    const lifted = rotate(fromAxisAngle(about, lift), tip);
    const swing = swingSign(kind) * (headingOf(wanted) - headingOf(lifted));
    return turnBy(kind, { swing: clamp(wrapped(swing), EXTRA_TURNS.swing), lift });
  });
  const nearness = (at: Quat): number => dot(rotate(at, tip), wanted);
  return turns.reduce((best, other) => (nearness(other) > nearness(best) ? other : best));
}

const headingOf = ([x, , z]: Vec3): number => Math.atan2(x, z);
const wrapped = (angle: number): number => Math.atan2(Math.sin(angle), Math.cos(angle));
const clamp = (value: number, limit: number): number => Math.max(-limit, Math.min(limit, value));

/** Where an extra part ends, in the world, metres. */
export const tipIn = (
  segments: Readonly<Record<string, Parameters<typeof applyTransform>[0]>>,
  extra: Extra,
): Vec3 => applyTransform(segments[extra.parent]!, tipOf(extra));
