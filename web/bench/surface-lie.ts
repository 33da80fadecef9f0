import {
  conjugate,
  fromAxisAngle,
  multiply,
  type Quat,
  rotate,
} from '../../core/geometry/index.ts';

/**
 * How a surface lies, radians: turned to the figure's left about the upright, sloping down along its
 * own way ahead, then tilting down to its right. Sloped half a turn the turn is not told apart.
 */
export interface Lie {
  readonly turn: number;
  readonly slope: number;
  readonly tilt: number;
}

export const turnFor = ({ turn, slope, tilt }: Lie): Quat =>
  multiply(
    multiply(fromAxisAngle([0, 1, 0], turn), fromAxisAngle([1, 0, 0], slope)),
    fromAxisAngle([0, 0, 1], tilt),
  );

/** The lie of a rotation: the inverse of `turnFor`, with the slope within a quarter turn. */
export function lieOf(rotation: Quat): Lie {
  const [x, y, z] = rotate(rotation, [0, 0, 1]);
  const slope = Math.asin(Math.max(-1, Math.min(1, 0 - y)));
  // Straight up or down the way ahead tells no turn: then none.
  const turn = Math.hypot(x, z) < 1e-6 ? 0 : Math.atan2(x, z);
  const rest = multiply(conjugate(turnFor({ turn, slope, tilt: 0 })), rotation);
  const tilt = 2 * Math.atan2(rest[2], rest[3]);
  return { turn, slope, tilt: Math.atan2(Math.sin(tilt), Math.cos(tilt)) };
}
