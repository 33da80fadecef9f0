import { readFileSync } from 'node:fs';
import type { Vec2 } from '../../../core/geometry/index.ts';

const file = new URL('../../fixtures/equilibrium-cases.json', import.meta.url);

/**
 * One case of tests/fixtures/equilibrium-cases.json: mechanics worked out separately from this project,
 * z up. Shapes differ from case to case.
 */
// biome-ignore lint/suspicious/noExplicitAny: every case has fields of its own.
export function readCase(id: string): any {
  const { cases } = JSON.parse(readFileSync(file, 'utf8'));
  const found = cases.find((entry: { id: string }) => entry.id === id);
  if (found === undefined) throw new Error(`${id} is not in ${file.pathname}`);
  return found;
}

/** Plan (x, y) of the z-up cases is (x, -y) here. */
export const planOf = ([x, y]: readonly [number, number]): Vec2 => [x, -y];
