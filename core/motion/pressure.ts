import { signedMargin, type Vec2, type Vec3 } from '../geometry/index.ts';
import { GRAVITY } from './pendulum.ts';

/** Below this share of the body's weight on the floor there is no centre of pressure to speak of. */
export const LEAST_LOAD = 0.1;

export interface MovingBody {
  /** Kilograms. */
  readonly mass: number;
  /** Mass centre, metres. */
  readonly centre: Vec3;
  /** Of the centre, metres a second squared. */
  readonly acceleration: Vec3;
  /** Change of the angular momentum about the centre, newton metres; leave out for none. */
  readonly turning?: Vec3;
}

/**
 * Where the floor must push for a body to move as it does, in plan, metres. From (p - c) x F = dL/dt
 * with the ground force F = m (a + g):
 *   p_x = c_x - h a_x / (a_y + g) + (dL/dt)_z / (m (a_y + g))
 *   p_z = c_z - h a_z / (a_y + g) - (dL/dt)_x / (m (a_y + g)),   h = c_y - floor.
 * (Own derivation; classical as zero moment point: Vukobratovic & Borovac 2004, from memory.)
 *
 * A floor can only push inside the support: a result outside means that the motion cannot be done as
 * drawn. With contacts at different heights it is the point of the plane `floor`, no real pressure.
 * Null where the floor carries less than a tenth of the weight: in flight there is none.
 * @param floor height of the plane, metres
 */
export function pressureOf(
  { mass, centre, acceleration, turning = [0, 0, 0] }: MovingBody,
  floor = 0,
  g: number = GRAVITY,
): Vec2 | null {
  const push = acceleration[1] + g;
  if (push < LEAST_LOAD * g) return null;
  const height = centre[1] - floor;
  return [
    centre[0] - (height * acceleration[0]) / push + turning[2] / (mass * push),
    centre[2] - (height * acceleration[2]) / push - turning[0] / (mass * push),
  ];
}

/** The floor's push and what it asks of the ground, as drawn. */
export interface GroundForce {
  /** Newtons on the body. */
  readonly force: Vec3;
  /**
   * Share of the level force in the vertical one, the friction coefficient that level ground would
   * need; null where the floor carries less than a tenth of the weight.
   */
  readonly friction: number | null;
}

/** F = m (a + g), and |F_level| / F_y. */
export function groundForce(mass: number, acceleration: Vec3, g: number = GRAVITY): GroundForce {
  const [x, y, z] = acceleration;
  const push = y + g;
  return {
    force: [mass * x, mass * push, mass * z],
    friction: push < LEAST_LOAD * g ? null : Math.hypot(x, z) / push,
  };
}

/** Where the pressure lies against the support. */
export interface PressurePoint {
  /** Plan, metres. */
  readonly point: Vec2;
  /** Signed distance to the edge of the support, metres, positive inside. */
  readonly margin: number;
  /** One standard deviation of the point from noise in the clip, metres. */
  readonly noise: number;
}

/**
 * The pressure with its place and its noise: an error s in a level acceleration moves the point by
 * s h / (a_y + g). At 24 frames a second 1 mm of noise in the centre makes 13 cm of it unfiltered, which
 * is why the extrapolated centre decides and the pressure comes second.
 * @param accelerationNoise one standard deviation, metres a second squared
 */
export function pressurePoint(
  body: MovingBody,
  support: readonly Vec2[],
  floor: number,
  accelerationNoise: number,
  g: number = GRAVITY,
): PressurePoint | null {
  const point = pressureOf(body, floor, g);
  if (point === null) return null;
  const height = body.centre[1] - floor;
  return {
    point,
    margin: signedMargin(point, support),
    noise: (accelerationNoise * height) / (body.acceleration[1] + g),
  };
}
