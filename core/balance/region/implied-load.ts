import type { Vec2, Vec3 } from '../../geometry/types.ts';
import { checkPoint, checkPositive, fail } from './check-input.ts';
import { buildProgram, largest, smallest } from './program.ts';
import { type StaticOptions, standing } from './static-loads.ts';
import type { ContactPoint } from './types.ts';

/** Masses of a load with which a pose can be held. */
export type MassRange =
  | {
      readonly kind: 'range';
      /** Kilograms. */
      readonly least_kg: number;
      /** Kilograms; Infinity where any heavier load holds too. */
      readonly most_kg: number;
    }
  /** No load of any mass lets this pose hold. */
  | { readonly kind: 'none' };

/**
 * For a load of unknown mass at a known place: the interval of masses with which the figure can be
 * held by its contacts (mechanics.md 1.10). The mass is one more unknown of the balance, so this
 * holds for contacts at any height and with caps, two linear programs; with flat contacts it is the
 * part of the line from the figure's centre to the load that lies over the support.
 *
 * @param contacts caps are in weights of the figure alone
 * @param mass_kg of the figure
 * @param centre of the figure alone, metres
 * @param load mass centre of the load, metres; carried by the figure, not touching anything
 * @throws RangeError on malformed input
 */
export function impliedMassRange(
  contacts: readonly ContactPoint[],
  mass_kg: number,
  centre: Vec3,
  load: Vec3,
  options: StaticOptions = {},
): MassRange {
  checkPositive('mass_kg', mass_kg);
  checkPoint('load', load);
  const spec = standing(contacts, centre, options);
  if (contacts.length === 0) return { kind: 'none' };
  // Level of the column = load weight in figure weights.
  const program = buildProgram({ ...spec, column: [{ on: 0, force: [0, -1, 0], at: load }] });
  const least = smallest(program, program.level);
  if (least === null) return { kind: 'none' };
  const most = largest(program, program.level)!;
  return {
    kind: 'range',
    least_kg: Math.max(0, least) * mass_kg,
    most_kg: Math.max(0, most) * mass_kg,
  };
}

/** The mass that brings the common centre nearest to a chosen place. */
export type CentringMass =
  | { readonly kind: 'mass'; readonly mass_kg: number }
  /** The load hangs over the figure's own centre: its mass moves nothing sideways. */
  | { readonly kind: 'any' }
  /** The more the nearer: the place lies at or beyond the load. */
  | { readonly kind: 'as heavy as can be' }
  /** Any load at all moves the centre away from the place. */
  | { readonly kind: 'none' };

/**
 * The load mass that brings the common centre nearest to `target` in plan:
 * m = M (s - c).(p - c) / ((p - s).(p - c)), mechanics.md 1.10. A convention, not a measurement: a
 * normal stance does not centre itself, so show the range of `impliedMassRange` first.
 * @throws RangeError on a non-finite place or a mass that is not above 0
 */
export function centringMass(
  mass_kg: number,
  centre: Vec2,
  load: Vec2,
  target: Vec2,
): CentringMass {
  checkPositive('mass_kg', mass_kg);
  for (const [place, value] of Object.entries({ centre, load, target }))
    if (value.length !== 2 || !value.every(Number.isFinite))
      fail(place, value, 'give a finite plan point [x, z] in metres');
  const px = load[0] - centre[0];
  const pz = load[1] - centre[1];
  if (Math.hypot(px, pz) < 1e-9) return { kind: 'any' };
  const gain = (target[0] - centre[0]) * px + (target[1] - centre[1]) * pz;
  if (gain <= 0) return { kind: 'none' };
  const left = (load[0] - target[0]) * px + (load[1] - target[1]) * pz;
  if (left <= 0) return { kind: 'as heavy as can be' };
  return { kind: 'mass', mass_kg: (mass_kg * gain) / left };
}
