import type { Vec3 } from '../../geometry/types.ts';
import { length, normalise } from '../../geometry/vec3.ts';
import type { Support } from './program.ts';
import type { ConeShape, ContactPoint } from './types.ts';

/** Throws a RangeError that names the place, what came, and the mend. */
export function fail(place: string, came: unknown, mend: string): never {
  const text = typeof came === 'object' ? JSON.stringify(came) : String(came);
  throw new RangeError(`${place} is ${text}; ${mend}.`);
}

export function checkNumber(place: string, value: number): void {
  if (!Number.isFinite(value)) fail(place, value, 'give a finite number');
}

export function checkPositive(place: string, value: number): void {
  if (!(Number.isFinite(value) && value > 0)) fail(place, value, 'give a number above 0');
}

export function checkPoint(place: string, point: Vec3): void {
  if (!Array.isArray(point) || point.length !== 3 || !point.every(Number.isFinite))
    fail(place, point, 'give three finite numbers in metres');
}

/** A unit vector along `direction` in plan, with y = 0. */
export function planDirection(place: string, direction: readonly [number, number]): Vec3 {
  const size = Math.hypot(direction[0], direction[1]);
  if (!(Number.isFinite(size) && size > 0))
    fail(place, direction, 'give a plan direction [x, z] that is not zero');
  return [direction[0] / size, 0, direction[1] / size];
}

export function checkShape(shape: ConeShape): void {
  if (shape !== 'round' && !(Number.isInteger(shape) && shape >= 3))
    fail('options.edges', shape, "give 'round' or a whole number of at least 3");
}

function checkLimit(place: string, value: number | undefined): void {
  if (value !== undefined && !(value >= 0))
    fail(place, value, 'give a number of body weights of at least 0, or leave it out');
}

/**
 * Checks the contacts of one body and brings them into the form of a program, body index 0.
 * @param keyOf points with the same key are one patch
 * @throws RangeError on a non-finite point or normal, a normal of length 0, a friction that is
 *   negative or not finite, or a negative limit
 */
export function readContacts<C extends ContactPoint>(
  contacts: readonly C[],
  keyOf: (contact: C, index: number) => string = patchKey,
): Support[] {
  const numbers = new Map<string, number>();
  return contacts.map((contact, index) => {
    if (!isSound(contact)) failContact(contact, `contacts[${index}]`);
    const key = keyOf(contact, index);
    if (!numbers.has(key)) numbers.set(key, numbers.size);
    return {
      point: contact.point,
      normal: normalise(contact.normal),
      friction: contact.friction,
      cap: contact.cap ?? Number.POSITIVE_INFINITY,
      hold: contact.hold ?? null,
      patch: numbers.get(key)!,
      on: 0,
      against: null,
    };
  });
}

const isPoint = (point: Vec3): boolean =>
  Array.isArray(point) &&
  point.length === 3 &&
  Number.isFinite(point[0]) &&
  Number.isFinite(point[1]) &&
  Number.isFinite(point[2]);

const isLimit = (value: number | undefined): boolean => value === undefined || value >= 0;

/** Whether nothing is wrong with a contact, without spelling out its place (a drag reads thousands). */
const isSound = ({ point, normal, friction, cap, hold }: ContactPoint): boolean =>
  isPoint(point) &&
  isPoint(normal) &&
  length(normal) >= 1e-12 &&
  Number.isFinite(friction) &&
  friction >= 0 &&
  isLimit(cap) &&
  isLimit(hold);

function failContact({ point, normal, friction, cap, hold }: ContactPoint, place: string): void {
  checkPoint(`${place}.point`, point);
  checkPoint(`${place}.normal`, normal);
  if (length(normal) < 1e-12)
    fail(`${place}.normal`, normal, 'give the direction in which the surface faces');
  if (!(Number.isFinite(friction) && friction >= 0))
    fail(`${place}.friction`, friction, 'give a finite coefficient of at least 0');
  checkLimit(`${place}.cap`, cap);
  checkLimit(`${place}.hold`, hold);
}

/** Points of one named patch share a key; a point without a name is its own patch. */
export const patchKey = (contact: ContactPoint, index: number): string =>
  contact.patch === undefined ? `#${index}` : `=${contact.patch}`;

/** The name under which a patch is reported: its own, or the contact's index. */
export const patchName = (contact: ContactPoint, index: number): string =>
  contact.patch ?? String(index);
