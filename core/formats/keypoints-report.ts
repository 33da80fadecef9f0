import { median } from './clip-frame.ts';
import type { FoundScale, KeypointOptions } from './keypoints.ts';
import type { FittedPerson, PersonFrame } from './keypoints-fit.ts';
import { MOST_PEOPLE } from './keypoints-people.ts';
import type { KeypointFile } from './keypoints-read.ts';

/** How one person was fitted. */
export interface PersonReport extends FoundScale {
  readonly id: string;
  readonly fitted: FittedPerson;
}

/** What was made of pictures with keypoints, for the person who brought them. */
export interface KeypointReport {
  readonly people: readonly {
    readonly id: string;
    /** Pictures in which it was fitted. */
    readonly frames: number;
    /** Metres a pixel. */
    readonly scale: number;
    readonly scaleFrom: FoundScale['scaleFrom'];
    /** `side`, `front` (or from behind), or `slant` over most pictures. */
    readonly view: View;
    readonly baseGiven: boolean;
    /** Points that are unsure or missing in some picture, with the number of pictures. */
    readonly doubts: readonly {
      readonly point: string;
      readonly unsure: number;
      readonly missing: number;
    }[];
    /** Mean distance of its joints from the picture's points, metres; null without points. */
    readonly miss: number | null;
  }[];
  /** Lean of true up that was taken off, radians. */
  readonly tilt: number;
  /** People in pictures that no figure could be laid on. */
  readonly unfitted: number;
  /** What cannot be told, and why. */
  readonly cannotTell: readonly string[];
  readonly sentences: readonly string[];
}

export type View = 'side' | 'front' | 'slant';

interface Found {
  readonly file: KeypointFile;
  readonly people: readonly PersonReport[];
  readonly tilt: number;
  readonly unfitted: number;
  readonly options: KeypointOptions;
  readonly assumedRate: boolean;
  readonly assumedStature: boolean;
}

export function reportOf(found: Found): KeypointReport {
  const people = found.people.map(({ id, scale, scaleFrom, fitted }) => {
    const frames = fitted.frames.filter((frame): frame is PersonFrame => frame !== null);
    const misses = frames.flatMap(({ miss }) => miss ?? []);
    return {
      ...{ id, scale, scaleFrom, baseGiven: fitted.baseGiven, frames: frames.length },
      view: viewOf(frames),
      doubts: doubtsOver(frames),
      miss:
        misses.length === 0 ? null : misses.reduce((sum, miss) => sum + miss, 0) / misses.length,
    };
  });
  const report = { people, tilt: found.tilt, unfitted: found.unfitted };
  const cannotTell = doubtful(people);
  return { ...report, cannotTell, sentences: [...sentencesOf(found, people), ...cannotTell] };
}

type Person = KeypointReport['people'][number];

/** Sine of the heading from which a figure counts as seen from the side, and to which from the front: 45 degrees less 15 either way. */
const SIDE = Math.sin((60 * Math.PI) / 180);
const FRONT = Math.sin((30 * Math.PI) / 180);

function viewOf(frames: readonly PersonFrame[]): View {
  const sine = median(frames.map(({ heading }) => Math.abs(heading[0])));
  return sine >= SIDE ? 'side' : sine <= FRONT ? 'front' : 'slant';
}

function doubtsOver(frames: readonly PersonFrame[]): Person['doubts'] {
  const counts = new Map<string, { unsure: number; missing: number }>();
  for (const { doubts } of frames) {
    for (const { point, sight } of doubts) {
      const count = counts.get(point) ?? { unsure: 0, missing: 0 };
      counts.set(point, count);
      count[sight]++;
    }
  }
  return [...counts].map(([point, count]) => ({ point, ...count }));
}

/** What one picture leaves open for each view. */
const OPEN: Readonly<Record<View, string>> = {
  side: 'sideways balance cannot be told from a side picture',
  front: 'forward and backward balance cannot be told from a picture from the front or from behind',
  slant: 'balance towards and away from the camera cannot be told from one picture',
};

function doubtful(people: readonly Person[]): string[] {
  const said = people.map(({ id, view }) => `${named(id)}: ${OPEN[view]}, since depth is assumed.`);
  const guessed = people.filter(({ baseGiven }) => !baseGiven);
  if (guessed.length > 0) {
    said.push(
      `There are no points of heel, toe and hand: what carries is a guess (feet near the floor, soles level) until you set the base of ${listed(guessed)}.`,
    );
  }
  return said;
}

const named = (id: string): string => id.replace('person-', 'Person ');

function listed(people: readonly { readonly id: string }[]): string {
  const names = people.map(({ id }) => named(id));
  return names.length > 6 ? `${names.length} people` : names.join(', ');
}

const FROM: Readonly<Record<FoundScale['scaleFrom'], string>> = {
  given: 'as given',
  standing: 'from the standing height in the picture',
  person: 'from the person that the picture is lined up with',
  bones: 'guessed from its longest-looking bones',
  horizon: 'from its feet under the horizon',
  first: 'as for the first',
};

function sentencesOf(found: Found, people: readonly Person[]): string[] {
  const { file, tilt, unfitted, options } = found;
  const pictures = file.frames.length;
  const said = [
    `${pictures} ${pictures === 1 ? 'picture' : 'pictures'}, ${people.length} ${people.length === 1 ? 'person' : 'people'}; the third number of a point is taken as ${file.sights === 'flags' ? 'a flag (0 not there, 1 hidden, 2 seen)' : 'a score from 0 to 1'}.`,
  ];
  if (pictures > 1 && found.assumedRate)
    said.push('No rate was given: 24 pictures a second taken.');
  if (found.assumedStature)
    said.push('No stature was given: 1.70 m taken for everyone not set otherwise.');
  for (const { id, scale, scaleFrom, miss } of people) {
    const far =
      miss === null
        ? ''
        : `; its joints lie ${(miss * 100).toFixed(1)} cm from the picture's on average`;
    said.push(
      `${named(id)}: ${(scale * 1000).toPrecision(3)} mm a pixel, ${FROM[scaleFrom]}${far}.`,
    );
  }
  if (Math.abs(tilt) > 1e-6) {
    const way = tilt > 0 ? 'right' : 'left';
    said.push(
      `True up leans ${Math.abs((tilt * 180) / Math.PI).toFixed(1)}\u00b0 to the ${way} in the picture; that is taken off.`,
    );
  } else if (options.lineUp?.tilt === undefined && options.lineUp?.horizon === undefined) {
    said.push('No horizon or tilt was given: the picture is taken as level.');
  }
  for (const { id, doubts } of people) {
    if (doubts.length === 0) continue;
    const words = doubts.map(
      ({ point, missing }) => `${point.replace('_', ' ')}${missing > 0 ? ' (missing)' : ''}`,
    );
    said.push(`${named(id)}: not sure of ${words.join(', ')}.`);
  }
  if (unfitted > 0) {
    said.push(
      `${unfitted} ${unfitted === 1 ? 'person is' : 'people are'} left out: no hip or no shoulder in a picture, or beyond the first ${MOST_PEOPLE}.`,
    );
  }
  said.push(
    'Figures lie in the picture plane: depth is assumed from the lengths of bones and the breadth of hips and shoulders.',
  );
  return said;
}
