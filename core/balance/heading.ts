import type { Vec2 } from '../geometry/index.ts';

/** The eight headings from straight ahead turning to the figure's left, 45 degrees each. */
export const HEADINGS = [
  'forwards',
  'forwards and to the left',
  'to the left',
  'backwards and to the left',
  'backwards',
  'backwards and to the right',
  'to the right',
  'forwards and to the right',
] as const;
export type Heading = (typeof HEADINGS)[number];

/** The edge of the support that lies towards a heading. */
export const EDGES: Readonly<Record<Heading, string>> = {
  forwards: 'front',
  'forwards and to the left': 'front left',
  'to the left': 'left',
  'backwards and to the left': 'back left',
  backwards: 'back',
  'backwards and to the right': 'back right',
  'to the right': 'right',
  'forwards and to the right': 'front right',
};

/** On the border between two headings the shorter word is said, not what rounding makes of it; eighths of a turn. */
const TIE = 1e-6;

/**
 * A plan direction as a word for someone who faces `forward` (unit, plan). Their left is forward
 * turned a quarter towards +x when they face +z.
 */
export function headingOf(direction: Vec2, forward: Vec2): Heading {
  const ahead = direction[0] * forward[0] + direction[1] * forward[1];
  const left = direction[0] * forward[1] - direction[1] * forward[0];
  const turn = (Math.atan2(left, ahead) * 4) / Math.PI;
  const plain = 2 * Math.round(turn / 2);
  const eighth = Math.abs(turn - plain) < 0.5 + TIE ? plain : Math.round(turn);
  return HEADINGS[(eighth + 8) % 8]!;
}
