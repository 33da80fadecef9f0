import type { SegmentName } from '../../body/index.ts';
import type { Vec2, Vec3 } from '../../geometry/index.ts';
import { EDGES, type Heading } from '../heading.ts';
import type { GroupReading } from '../types.ts';

/** Whole centimetres from 2 cm on, else to the millimetre: "9 cm", "1.4 cm". */
export function centimetres(metres: number): string {
  const cm = Math.abs(metres) * 100;
  return `${cm < 1.95 ? cm.toFixed(1) : cm.toFixed(0)} cm`;
}

/** Centimetres to the millimetre, without the unit: two lengths that are compared. */
export const reasonLength = (metres: number): string => (metres * 100).toFixed(1);

/** Whole degrees from 2 on: "12 degrees", "1.3 degrees". */
export function degrees(radians: number): string {
  const value = Math.abs((radians * 180) / Math.PI);
  return `${value < 1.95 ? value.toFixed(1) : value.toFixed(0)} degrees`;
}

/** A part of a move is told where it is at least this share of the largest one. */
const TOLD = 0.4;

/**
 * A way in space as the figure would say it: "9 cm back", "5 cm forward and 3 cm to the left". Only what
 * counts is told, two parts at most.
 */
export function wayWords(way: Vec3, forward: Vec2): string {
  const ahead = way[0] * forward[0] + way[2] * forward[1];
  const left = way[0] * forward[1] - way[2] * forward[0];
  const parts = [
    { by: ahead, word: ahead < 0 ? 'back' : 'forward' },
    { by: left, word: left < 0 ? 'to the right' : 'to the left' },
    { by: way[1], word: way[1] < 0 ? 'down' : 'up' },
  ].sort((a, b) => Math.abs(b.by) - Math.abs(a.by));
  const most = Math.abs(parts[0]!.by);
  return parts
    .filter(({ by }) => Math.abs(by) >= TOLD * most)
    .slice(0, 2)
    .map(({ by, word }) => `${centimetres(by)} ${word}`)
    .join(' and ');
}

/** What comes of a way: "holds, 4 cm of room to the toes". */
export function outcome({ verdict, margin }: GroupReading, onFeet: boolean): string {
  if (margin === null) return verdict;
  return `${verdict}, ${centimetres(margin.distance)} of room to ${edgeWords(margin.heading, onFeet)}`;
}

function edgeWords(heading: string, onFeet: boolean): string {
  if (onFeet && heading === 'forwards') return 'the toes';
  if (onFeet && heading === 'backwards') return 'the heels';
  return `the ${EDGES[heading as Heading]} edge`;
}

const JOINTS: Readonly<Record<string, string>> = {
  pelvis: 'hips',
  abdomen: 'lower back',
  chest: 'upper back',
  head: 'neck',
  upperArm: 'shoulder',
  forearm: 'elbow',
  hand: 'wrist',
  thigh: 'hip',
  shank: 'knee',
  foot: 'ankle',
  toes: 'toes',
};

/** The joint above a segment, as people call it: "left knee", "lower back". */
export function jointWord(segment: SegmentName): string {
  const side = segment.endsWith('L') ? 'left ' : segment.endsWith('R') ? 'right ' : '';
  return `${side}${JOINTS[side === '' ? segment : segment.slice(0, -1)]}`;
}

export const sideWord = (side: 'L' | 'R'): string => (side === 'L' ? 'left' : 'right');

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
