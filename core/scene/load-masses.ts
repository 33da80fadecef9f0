import type { Body } from '../body/types.ts';
import {
  applyTransform,
  conjugate,
  IDENTITY,
  multiply,
  type Quat,
  rotate,
} from '../geometry/index.ts';
import { add } from '../geometry/vec3.ts';
import { type CentreLoad, palmLocal } from '../pose/index.ts';
import { facing, headingTurn } from './facing.ts';
import type { Load, LoadPlace } from './types.ts';

/** Sides of the hands that hold a load; none where it is not held. */
export const handsOf = (place: LoadPlace): readonly ('L' | 'R')[] =>
  place.kind === 'held'
    ? (['L', 'R'] as const).filter((side) => place.hands !== (side === 'L' ? 'right' : 'left'))
    : [];

/**
 * A load as masses on the segments of the body that bears it: in both hands half at each palm, and its way
 * from there by the chest. Together they have its mass, and its mass centre for theirs; none for a load
 * that stands by itself, or whose mass is 0 or unknown.
 * @param chest world turn of the chest. A load in the hands turns with its heading alone, so the way
 *   to its filling is true for this turn, and bends with the chest away from it
 */
export function loadMasses(
  body: Body,
  { mass, place, centre = [0, 0, 0] }: Pick<Load, 'mass' | 'place' | 'centre'>,
  chest: Quat = IDENTITY,
): readonly CentreLoad[] {
  if (mass === null || mass === 0 || place.kind === 'standing') return [];
  if (place.kind === 'attached') {
    const offset = applyTransform({ position: place.offset, rotation: place.rotation }, centre);
    return [{ segment: place.segment, offset, mass }];
  }
  const hands = handsOf(place);
  const turn = multiply(headingTurn(facing(chest)), place.rotation ?? IDENTITY);
  const filling = rotate(conjugate(chest), rotate(turn, centre));
  return [
    ...hands.map((side): CentreLoad => {
      const offset = palmLocal(body, side);
      return { segment: `hand${side}`, offset, mass: mass / hands.length };
    }),
    { segment: 'chest', offset: add(place.offset, filling), mass },
    { segment: 'chest', offset: [0, 0, 0], mass: -mass },
  ];
}
