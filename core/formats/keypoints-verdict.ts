import type {
  BalanceReport,
  FigureReading,
  GroupReading,
  Reading,
  Verdict,
} from '../balance/types.ts';

/** What one picture can say of a reading. */
export interface PictureVerdict {
  readonly verdict: Verdict;
  /** One plain sentence with numbers and units. */
  readonly sentence: string;
}

/** Nearer to the end of the support than this, along the picture, nothing is called a fall, metres. */
const SLACK = 0.005;

const cm = (metres: number): string => `${(Math.abs(metres) * 100).toFixed(1)} cm`;

/**
 * A reading of a figure that was fitted to one picture, held against what the picture shows: only what
 * lies along it (x) is known, depth (z) is assumed. A plumb point beyond the support's ends along the
 * picture falls whatever the depth; anything else cannot be told.
 * @param baseGiven whether a person has set what carries; else the sentence says that it is a guess
 */
export function judgeInPicture(reading: Reading, baseGiven: boolean): PictureVerdict {
  const { plumb, support, verdict } = reading;
  const guess = baseGiven ? '' : ' The base is a guess: set what carries.';
  if (plumb === null || verdict === 'unknown') return reading;
  if (support.polygon.length === 0) {
    const nothing = 'nothing that the picture shows carries the figure';
    return baseGiven
      ? { verdict: 'airborne', sentence: `Airborne: ${nothing}.` }
      : { verdict: 'unknown', sentence: `Cannot tell: ${nothing}, and the base is not set.` };
  }
  const ends = support.polygon.map(([x]) => x);
  const [left, right] = [Math.min(...ends), Math.max(...ends)];
  const room = Math.min(plumb[0] - left, right - plumb[0]);
  const side = plumb[0] - left < right - plumb[0] ? 'left' : 'right';
  if (room < -SLACK) {
    return {
      verdict: 'falls',
      sentence: `Falls to the picture's ${side}: the plumb line lands ${cm(room)} beyond the support, whatever the depth.${guess}`,
    };
  }
  const along = `along the picture the plumb line lands ${cm(room)} ${room < 0 ? 'beyond' : 'inside'} the support's ${side} end`;
  return {
    verdict: 'unknown',
    sentence: `Cannot tell: ${along}, but towards and away from the camera one picture does not show it.${guess}`,
  };
}

/** A report whose verdicts and sentences say what the picture shows, and no more; numbers stay. */
export const judgedReport = (
  report: BalanceReport,
  judge: (reading: GroupReading | FigureReading) => PictureVerdict,
): BalanceReport => ({
  ...report,
  groups: report.groups.map((group) => ({ ...group, ...pick(judge(group)) })),
  figures: report.figures.map((figure) => ({ ...figure, ...pick(judge(figure)) })),
});

// What cannot be judged comes back as the whole reading.
const pick = ({ verdict, sentence }: PictureVerdict): PictureVerdict => ({ verdict, sentence });
