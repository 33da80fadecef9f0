import type { NoteReading, NoteState, NoteWeight } from '../../core/document/index.ts';
import { distance } from '../../core/geometry/index.ts';
import { centimetres, VERDICT_WORDS } from '../badge/words.ts';

/** Words of notes as they stand on screen. */
export const WEIGHT_WORDS: Readonly<Record<NoteWeight, string>> = {
  must: 'must',
  should: 'should',
  could: 'could be better',
};

export const STATE_WORDS: Readonly<Record<NoteState, string>> = {
  open: 'open',
  answered: 'answered',
  settled: 'settled',
  parked: 'parked',
  kept: 'kept on purpose',
};

/** Past tense of giving a note a state, after "you". */
export const STATE_DEEDS: Readonly<Record<NoteState, string>> = {
  open: 'opened a note again',
  answered: 'marked a note answered',
  settled: 'settled a note',
  parked: 'parked a note',
  kept: 'kept a pose on purpose',
};

/** From this change on a reading has moved: half of what is shown as the last digit. */
const SAME_MARGIN = 0.0005;
/** A centre that moved less than this is said to have stayed, metres. */
const SAME_CENTRE = 0.005;

const marginOf = ({ margin }: NoteReading): string => {
  if (margin === null) return 'no margin';
  return `${(Math.abs(margin) * 100).toFixed(1)}\u00a0cm${margin < 0 ? ' outside' : ''}`;
};

const whole = (reading: NoteReading): string =>
  reading.margin === null
    ? VERDICT_WORDS[reading.verdict]
    : `${VERDICT_WORDS[reading.verdict]}, ${marginOf(reading)}`;

/**
 * A note's reading, held against that of what is shown: "was 3.1 cm, now 5.0 cm; the centre moved
 * 2.4 cm". Without a present reading only what it was.
 */
export function heldAgainst(was: NoteReading, now: NoteReading | null): string {
  if (now === null) return `was ${whole(was)}`;
  const apart = Math.abs((was.margin ?? 0) - (now.margin ?? 0));
  const sameMargin = (was.margin === null) === (now.margin === null) && apart < SAME_MARGIN;
  const moved = was.centre === null || now.centre === null ? 0 : distance(was.centre, now.centre);
  const centre = moved < SAME_CENTRE ? '' : `; the centre moved ${centimetres(moved)}`;
  if (was.verdict !== now.verdict) return `was ${whole(was)}; now ${whole(now)}${centre}`;
  if (sameMargin) return `${whole(was)}, as now${centre}`;
  return `was ${marginOf(was)}, now ${marginOf(now)}${centre}`;
}
