import type { Contact } from '../contact/index.ts';
import { toPlan, type Vec2 } from '../geometry/index.ts';
import { type PosedFigure, pointOn } from '../pose/index.ts';

/** A foot that carries weight, in plan. */
export interface FootLine {
  readonly figure: string;
  readonly side: 'L' | 'R';
  readonly heel: Vec2;
  readonly toe: Vec2;
}

/** Positions along two feet may differ by this part of a foot and still be told as one. */
const AGREE = 0.1;

/** Shorter in plan than this, a foot points up or down and has no position along it, metres. */
const FLAT = 0.02;

/** The feet of a figure that touch something, heel to toe tip. */
export function carryingFeet(
  figure: string,
  posed: PosedFigure,
  contacts: readonly Contact[],
): readonly FootLine[] {
  return (['L', 'R'] as const).flatMap((side) => {
    const carries = contacts.some(
      ({ owner, patch }) =>
        owner === figure && (patch === `sole${side}` || patch === `toes${side}`),
    );
    if (!carries) return [];
    const sole = posed.body.patches[`sole${side}`].outline;
    const toes = posed.body.patches[`toes${side}`].outline;
    const back = sole.reduce((a, b) => (b[2] < a[2] ? b : a));
    const tip = toes.reduce((a, b) => (b[2] > a[2] ? b : a));
    // On the foot's middle line: the outline's own tip lies a little to the inside.
    const heel = toPlan(pointOn(posed, `foot${side}`, [0, back[1], back[2]]));
    const toe = toPlan(pointOn(posed, `toes${side}`, [0, tip[1], tip[2]]));
    return [{ figure, side, heel, toe }];
  });
}

/** Where a plan point lies along a foot: 0 heel, 1 toe tip, beyond either outside; null for no length. */
export function alongFoot(point: Vec2, { heel, toe }: FootLine): number | null {
  const x = toe[0] - heel[0];
  const z = toe[1] - heel[1];
  const square = x * x + z * z;
  if (square < FLAT * FLAT) return null;
  return ((point[0] - heel[0]) * x + (point[1] - heel[1]) * z) / square;
}

/** The mean position along the feet where they say one thing; null otherwise or without feet. */
export function footPosition(point: Vec2, feet: readonly FootLine[]): number | null {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (const foot of feet) {
    const along = alongFoot(point, foot);
    if (along === null) return null;
    least = Math.min(least, along);
    most = Math.max(most, along);
    sum += along;
  }
  return feet.length > 0 && most - least <= AGREE ? sum / feet.length : null;
}
