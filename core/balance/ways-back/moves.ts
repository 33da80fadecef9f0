import { SEGMENTS } from '../../body/index.ts';
import { angleBetween, IDENTITY, length, subtract, type Vec3 } from '../../geometry/index.ts';
import type { Pose } from '../../pose/index.ts';
import type { Situation } from './situation.ts';
import type { Move } from './types.ts';
import { degrees, jointWord, wayWords } from './words.ts';

/** Smaller turns and moves are not told, radians and metres. */
const LEAST_TURN = Math.PI / 180;
const LEAST_WAY = 0.003;

/** A part that is moved by `way`. */
export const shift = ({ forward }: Situation, part: string, way: Vec3): Move => ({
  part,
  by: length(way),
  unit: 'm',
  text: `${part} ${wayWords(way, forward)}`,
});

const turn = (part: string, by: number): Move => ({
  part,
  by,
  unit: 'rad',
  text: `${part} ${degrees(by)}`,
});

/** What differs between the figure's pose and another one: its hips' way, then its joints' turns. */
export function poseMoves(situation: Situation, after: Pose): readonly Move[] {
  const before = situation.figure.pose;
  const way = subtract(after.position, before.position);
  const hips = length(way) < LEAST_WAY ? [] : [shift(situation, 'hips', way)];
  const whole = angleBetween(after.rotation, before.rotation);
  const turns = SEGMENTS.flatMap((name) => {
    if (name === 'pelvis') return whole < LEAST_TURN ? [] : [turn('pelvis', whole)];
    const by = angleBetween(after.joints[name] ?? IDENTITY, before.joints[name] ?? IDENTITY);
    return by < LEAST_TURN ? [] : [turn(jointWord(name), by)];
  });
  return [...hips, ...turns.sort((a, b) => b.by - a.by)];
}
