import type { Quat, Vec2, Vec3 } from '../geometry/types.ts';

/**
 * Readers of foreign values: a peer with newer or broken code may have written anything, so each
 * returns a usable value or null and never throws.
 */

export const asText = (value: unknown): string | null => (typeof value === 'string' ? value : null);

export const asNumber = (value: unknown): number | null =>
  typeof value === 'number' && Number.isFinite(value) ? value : null;

function tuple(value: unknown, length: number): number[] | null {
  if (!Array.isArray(value) || value.length !== length) return null;
  return value.every((entry) => asNumber(entry) !== null) ? (value as number[]) : null;
}

export const asVec2 = (value: unknown): Vec2 | null => tuple(value, 2) as Vec2 | null;

export const asVec3 = (value: unknown): Vec3 | null => tuple(value, 3) as Vec3 | null;

/** A rotation, brought back to unit length; null for the zero quaternion. */
export function asQuat(value: unknown): Quat | null {
  const q = tuple(value, 4);
  if (q === null) return null;
  const length = Math.hypot(...q);
  return length < 1e-6 ? null : (q.map((c) => c / length) as unknown as Quat);
}

export function asOneOf<T extends string>(value: unknown, choices: readonly T[]): T | null {
  return choices.includes(value as T) ? (value as T) : null;
}

export const asRecord = (value: unknown): Readonly<Record<string, unknown>> | null =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
    ? (value as Record<string, unknown>)
    : null;
