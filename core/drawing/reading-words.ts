import type { Reading, Verdict } from '../balance/types.ts';

/** The verdict as it stands on screen and on paper. */
export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  holds: 'holds',
  teeters: 'teeters',
  falls: 'falls',
  airborne: 'airborne',
  carried: 'carried',
  held: 'held',
  unknown: 'cannot tell',
};

export const MINUS = '\u2212';
const SPACE = '\u00a0';

/** A length in centimetres, one decimal below 10 cm: "6.2 cm", "47 cm". */
export function centimetres(metres: number): string {
  const cm = Math.abs(metres) * 100;
  return `${cm < 9.95 ? cm.toFixed(1) : cm.toFixed(0)}${SPACE}cm`;
}

/** A share as a percentage with a true minus sign: "47 %". */
export function percent(share: number): string {
  const rounded = Math.round(share * 100);
  return `${rounded < 0 ? MINUS : ''}${Math.abs(rounded)}${SPACE}%`;
}

/** The centre's height, and where its line lands along the foot where the feet say one thing. */
export function centreText(reading: Reading): string {
  if (reading.centre === null) return 'not known: a mass is missing';
  const height = `${centimetres(reading.centre[1])} up`;
  if (reading.footPosition === null) return height;
  return `${height}, line at ${percent(reading.footPosition)} of the foot`;
}

/** The support's area and how many contacts make it. */
export function supportText(reading: Reading): string {
  const { kind, area, contacts } = reading.support;
  if (kind === 'none') return 'nothing touches';
  const count = contacts.length === 1 ? '1 contact' : `${contacts.length} contacts`;
  if (kind === 'point') return `a point, ${count}`;
  if (kind === 'line') return `a line, ${count}`;
  return `${Math.round(area * 10_000)}${SPACE}cm², ${count}`;
}

/** A margin in centimetres, always to the millimetre, as the sentence beside it gives it. */
const room = (metres: number): string => `${(Math.abs(metres) * 100).toFixed(1)}${SPACE}cm`;

/** Distance to the nearest edge and which way, and as a share of foot length. */
export function readingMargin(reading: Reading): string {
  const { margin } = reading;
  if (margin === null) {
    if (reading.support.unbounded === true) return 'without limit: braced';
    return reading.support.kind === 'none' ? 'no support' : 'not known';
  }
  const { distance, heading, footShare } = margin;
  const place = distance < 0 ? `outside, ${heading}` : `of room ${heading}`;
  const share = footShare === null ? '' : `, ${percent(Math.abs(footShare))} of a foot`;
  return `${room(distance)} ${place}${share}`;
}

/** The margin alone, signed, for cards: "+6.2 cm". */
export function marginShort(reading: Reading): string {
  const { margin } = reading;
  if (margin === null) return '';
  return `${margin.distance < 0 ? MINUS : '+'}${room(margin.distance)}`;
}
