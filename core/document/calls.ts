import type * as Y from 'yjs';
import { HEADINGS, type Heading, VERDICTS, type Verdict } from '../balance/index.ts';
import type { Vec2, Vec3 } from '../geometry/types.ts';
import { byTime } from './by-time.ts';
import { asNumber, asOneOf, asRecord, asText, asVec3 } from './decode.ts';
import { recordMap } from './record.ts';

/**
 * Making the call: a lead hides the readings of a shot, everybody says by eye where the centre is and
 * whether it holds, and when the lead shows it, all calls lie over the truth. Calls of others stay on
 * the server until then; the `record` document (root `calls`) knows only how many there are.
 */

/** What somebody may call; the truth may be any verdict. */
export const CALLED_VERDICTS = ['holds', 'teeters', 'falls'] as const;
export type CalledVerdict = (typeof CALLED_VERDICTS)[number];

/** What one person says by eye. */
export interface Answer {
  /** The centre, metres; the plumb point lies under it. */
  readonly centre: Vec3;
  readonly verdict: CalledVerdict;
  /** Which way it falls or would fall first; null where it holds. */
  readonly heading: Heading | null;
}

export interface GivenAnswer extends Answer {
  readonly person: string;
  /** ISO 8601 time on the server. */
  readonly at: string;
}

/** What the server's core finds when the call is shown. */
export interface Truth {
  readonly verdict: Verdict;
  readonly centre: Vec3 | null;
  /** Signed distance to the edge of the support, metres. */
  readonly margin: number | null;
  readonly heading: Heading | null;
  /** Length of the figure's foot, metres; null without a figure. */
  readonly footLength: number | null;
  readonly sentence: string;
}

interface CallTerms {
  readonly id: string;
  readonly shot: string;
  readonly draft: string;
  /** Frame of the draft's clip, counted from 0; null where it is one pose. */
  readonly frame: number | null;
  /** The lead who hid the readings. */
  readonly by: string;
  readonly at: string;
  /** Whether guests may call too. */
  readonly guests: boolean;
  /** How many people have called. */
  readonly count: number;
}

export interface OpenCall extends CallTerms {
  readonly state: 'open';
}

export interface ShownCall extends CallTerms {
  readonly state: 'shown';
  readonly shownAt: string;
  readonly truth: Truth;
  readonly answers: readonly GivenAnswer[];
}

export type Call = OpenCall | ShownCall;

/** Nothing of a scene is farther from its origin, metres. */
const FAR = 1000;

/** Reads what somebody says; null when it is not a call. A heading goes with what does not hold. */
export function readAnswer(value: unknown): Answer | null {
  const fields = asRecord(value);
  const centre = asVec3(fields?.centre);
  const verdict = asOneOf(fields?.verdict, CALLED_VERDICTS);
  if (centre === null || verdict === null) return null;
  if (!centre.every((metres) => Math.abs(metres) <= FAR)) return null;
  return {
    centre,
    verdict,
    heading: verdict === 'holds' ? null : asOneOf(fields?.heading, HEADINGS),
  };
}

function readGiven(value: unknown): GivenAnswer | null {
  const answer = readAnswer(value);
  const fields = asRecord(value);
  const person = asText(fields?.person);
  return answer && person ? { ...answer, person, at: asText(fields?.at) ?? '' } : null;
}

/** Reads a truth as it was stored; null for what is none. */
export function readTruth(value: unknown): Truth | null {
  const fields = asRecord(value);
  const verdict = asOneOf(fields?.verdict, VERDICTS);
  if (fields === null || verdict === null) return null;
  return {
    verdict,
    centre: asVec3(fields.centre),
    margin: asNumber(fields.margin),
    heading: asOneOf(fields.heading, HEADINGS),
    footLength: asNumber(fields.footLength),
    sentence: asText(fields.sentence) ?? '',
  };
}

function readCall(id: string, value: unknown): Call | null {
  const fields = asRecord(value);
  const [shot, draft] = [asText(fields?.shot), asText(fields?.draft)];
  if (fields === null || shot === null || draft === null) return null;
  const terms: CallTerms = {
    ...{ id, shot, draft, frame: asNumber(fields.frame) },
    by: asText(fields.by) ?? '',
    at: asText(fields.at) ?? '',
    guests: fields.guests === true,
    count: asNumber(fields.count) ?? 0,
  };
  const truth = readTruth(fields.truth);
  if (fields.state === 'open') return { ...terms, state: 'open' };
  if (fields.state !== 'shown' || truth === null || !Array.isArray(fields.answers)) return null;
  return {
    ...terms,
    state: 'shown',
    shownAt: asText(fields.shownAt) ?? '',
    truth,
    answers: fields.answers.map(readGiven).filter((answer) => answer !== null),
  };
}

export const callsMap = (record: Y.Doc): Y.Map<unknown> => recordMap(record, 'calls');

/** All calls of a review, the first opened first; `shot` narrows to one shot. */
export function readCalls(record: Y.Doc, shot?: string): Call[] {
  const calls: Call[] = [];
  for (const [id, value] of callsMap(record).entries()) {
    const call = readCall(id, value);
    if (call !== null && (shot === undefined || call.shot === shot)) calls.push(call);
  }
  return calls.sort(byTime);
}

/** One call; null when there is none of that id. */
export const readOneCall = (record: Y.Doc, id: string): Call | null =>
  readCall(id, callsMap(record).get(id));

/** Writes a call; for the server alone. */
export function putCall(record: Y.Doc, { id, ...fields }: Call): void {
  callsMap(record).set(id, fields);
}

/** Takes the open calls out of a copy of a record: what was called is not in it. */
export function dropOpenCalls(record: Y.Doc): void {
  for (const { id } of openCalls(record)) callsMap(record).delete(id);
}

/** The calls that are open: a few at most, found without reading the answers of all that were shown. */
function openCalls(record: Y.Doc): OpenCall[] {
  const open: OpenCall[] = [];
  for (const [id, value] of callsMap(record).entries()) {
    if (asRecord(value)?.state !== 'open') continue;
    const call = readCall(id, value);
    if (call?.state === 'open') open.push(call);
  }
  return open.sort(byTime);
}

/** The call that is open on a shot: until it is shown, no reading of the shot is to be seen. */
export const openCallOn = (record: Y.Doc, shot: string): OpenCall | null =>
  openCalls(record).find((call) => call.shot === shot) ?? null;

/** Whether a call is open on a draft: it stays as it is until the call is shown. */
export const isCalled = (record: Y.Doc, draft: string): boolean =>
  openCalls(record).some((call) => call.draft === draft);

/** Ids of the drafts that stay as they are now, for a call. */
export const calledDrafts = (record: Y.Doc): ReadonlySet<string> =>
  new Set(openCalls(record).map(({ draft }) => draft));

/** Ids of the shots whose readings are hidden now. */
export const hiddenShots = (record: Y.Doc): ReadonlySet<string> =>
  new Set(openCalls(record).map(({ shot }) => shot));

/** How far one call is from the truth. Null where the truth has no such thing. */
export interface Score {
  /** Plumb point to plumb point, metres, and as a share of the foot's length. */
  readonly plumb: number | null;
  readonly footShare: number | null;
  /** Centre to centre, metres. */
  readonly centre: number | null;
  readonly verdict: boolean;
  /** Null where the call holds or the truth has no direction. */
  readonly heading: boolean | null;
}

const planDistance = (a: Vec3, b: Vec3): number => Math.hypot(a[0] - b[0], a[2] - b[2]);

export function scoreOf(answer: Answer, truth: Truth): Score {
  const { centre, footLength } = truth;
  const plumb = centre === null ? null : planDistance(answer.centre, centre);
  return {
    plumb,
    footShare: plumb === null || footLength === null ? null : plumb / footLength,
    centre:
      centre === null ? null : Math.hypot(...answer.centre.map((metres, i) => metres - centre[i]!)),
    verdict: answer.verdict === truth.verdict,
    heading:
      answer.heading === null || truth.heading === null ? null : answer.heading === truth.heading,
  };
}

/** How all who called did together. */
export interface Summary {
  readonly count: number;
  readonly rightVerdicts: number;
  /** Half of the calls are nearer than this to the true plumb point, metres. */
  readonly medianPlumb: number | null;
  readonly medianFootShare: number | null;
  /** Mean of the called plumb points, (x, z) metres: what all see together. */
  readonly meanPlumb: Vec2 | null;
}

export function summaryOf({ answers, truth }: Pick<ShownCall, 'answers' | 'truth'>): Summary {
  const scores = answers.map((answer) => scoreOf(answer, truth));
  const mean = (axis: 0 | 2): number =>
    answers.reduce((sum, { centre }) => sum + centre[axis], 0) / answers.length;
  return {
    count: answers.length,
    rightVerdicts: scores.filter(({ verdict }) => verdict).length,
    medianPlumb: medianOf(scores.map(({ plumb }) => plumb)),
    medianFootShare: medianOf(scores.map(({ footShare }) => footShare)),
    meanPlumb: answers.length === 0 ? null : [mean(0), mean(2)],
  };
}

function medianOf(values: readonly (number | null)[]): number | null {
  const known = values.filter((value) => value !== null).sort((a, b) => a - b);
  const [low, high] = [known[(known.length - 1) >> 1], known[known.length >> 1]];
  return low === undefined || high === undefined ? null : (low + high) / 2;
}

/** One person's call among all that were shown, the first shown first. */
export interface Step {
  readonly call: ShownCall;
  readonly score: Score;
}

/** What a person has called over time. */
export function progressOf(calls: readonly Call[], person: string): Step[] {
  return calls
    .filter((call): call is ShownCall => call.state === 'shown')
    .sort((a, b) => (a.shownAt < b.shownAt ? -1 : 1))
    .flatMap((call) => {
      const answer = call.answers.find((given) => given.person === person);
      return answer === undefined ? [] : [{ call, score: scoreOf(answer, call.truth) }];
    });
}
