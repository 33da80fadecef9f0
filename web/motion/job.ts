import { assess, mainGroup } from '../../core/balance/index.ts';
import { clipSettings, movingDraft, readTouches } from '../../core/document/index.ts';
import { stripOf } from '../../core/drawing/index.ts';
import { type MovingClip, readMoving } from '../../core/formats/index.ts';
import {
  type ClipFrame,
  type ClipReading,
  type ClipSource,
  supportSpans,
  weighClipSteps,
} from '../../core/motion/index.ts';
import type { FromWorker, MotionFrame, RestFrame, WeighJob, WholeClip } from './protocol.ts';

/** Frames of one message, so that no message holds the page up. */
const SLICE = 500;
/** Frames between two looks at whether the job has been given up. */
const CHUNK = 50;

type Message = FromWorker extends infer T ? (T extends FromWorker ? Omit<T, 'id'> : never) : never;

/**
 * Weighs a draft in motion step by step: yields what is to be told, with nothing in between that lasts
 * long; whoever runs it may stop asking. Throws where the draft cannot be weighed.
 * @param clip the clip that the draft plays, already read; null without one
 */
export function* weighJob(job: WeighJob, clip: MovingClip | null): Generator<Message, void> {
  const entries = new Map(job.entries);
  const source = movingDraft(entries, clip, job.shot, new Map(job.cast));
  if (source === null) throw new RangeError('Nothing moves in this draft.');
  if (clip?.judge) yield* weighAtRest(source, clip.judge);
  else yield* weighInMotion(source, job, entries);
}

function* weighInMotion(
  source: ClipSource,
  { figure, slowest }: WeighJob,
  entries: ReadonlyMap<string, unknown>,
): Generator<Message, void> {
  const edited = readTouches(entries);
  const options = { chunk: CHUNK, edited, ...(figure === null ? {} : { figure }) };
  const steps = weighClipSteps(source, options);
  let step = steps.next();
  for (; !step.done; step = steps.next()) {
    const { stage, done, total, from, readings } = step.value;
    yield { kind: 'progress', stage, done, total };
    if (readings.length > 0) yield { kind: 'resting', from, frames: readings.map(restOf) };
  }
  const reading = step.value;
  const ratios = stripOf(reading).frames;
  yield* told(reading.frames.map((frame, i) => frameOf(frame, ratios[i]?.moving ?? null)));
  yield { kind: 'done', whole: wholeOf(reading) };
  if (!slowest) return;
  // Looked for last: the strip stands already.
  const { contacts } = reading;
  const again = weighClipSteps(source, { ...options, contacts, slowest: true });
  let last = again.next();
  for (; !last.done; last = again.next()) yield { kind: 'progress', ...progressOf(last.value) };
  yield { kind: 'done', whole: wholeOf(last.value) };
}

const progressOf = ({ done, total }: { done: number; total: number }) =>
  ({ stage: 'judging', done, total }) as const;

function* told(frames: readonly MotionFrame[]): Generator<Message, void> {
  for (let from = 0; from < frames.length; from += SLICE) {
    yield { kind: 'frames', from, frames: frames.slice(from, from + SLICE) };
  }
}

const restOf = ({ verdict, margin }: ClipFrame['reading']): RestFrame => ({
  verdict,
  ratio: margin?.ratio ?? null,
});

function frameOf(frame: ClipFrame, movingRatio: number | null): MotionFrame {
  const { reading, velocity, extrapolated, marginOfStability, pressure } = frame;
  const { margin } = reading;
  return {
    verdict: frame.verdict,
    sentence: frame.sentence,
    rest: restOf(reading),
    margin: margin?.distance ?? null,
    stability: marginOfStability,
    movingRatio,
    centre: reading.centre,
    speed: velocity === null ? null : Math.hypot(velocity[0], velocity[2]),
    extrapolated: extrapolated === null ? null : [extrapolated[0], extrapolated[2]],
    pressure: pressure?.point ?? null,
    pressureMargin: pressure?.margin ?? null,
    needed: frame.needed,
    has: frame.has,
    topplesIn: frame.topplesIn,
  };
}

function wholeOf(reading: ClipReading): WholeClip {
  const { counts, worst, stopsFrom, sentences, cutoff, spans, contacts, rises, slowest } = reading;
  return {
    ...{ counts, worst, stopsFrom, sentences, cutoff, spans, contacts },
    rises: rises.map(({ frame, sentence }) => ({ frame, sentence })),
    ...(slowest === undefined ? {} : { slowest }),
    atRest: false,
  };
}

/** Every picture as a held pose, as far as it can tell: speeds are not known without depth. */
function* weighAtRest(
  source: ClipSource,
  judge: NonNullable<MovingClip['judge']>,
): Generator<Message, void> {
  const frames: MotionFrame[] = [];
  const parts: string[][] = [];
  for (let frame = 0; frame < source.frameCount; frame++) {
    const report = assess(source.sceneAt(frame));
    const group = mainGroup(report);
    frames.push(group === undefined ? NOBODY : pictureFrame(group, judge(group)));
    parts.push(report.contacts.map(({ id }) => id));
    if (frames.length % CHUNK > 0) continue;
    const { length: done } = frames;
    yield { kind: 'progress', stage: 'weighing', done, total: source.frameCount };
  }
  yield* told(frames);
  const counts: Record<string, number> = {};
  for (const { verdict } of frames) counts[verdict] = (counts[verdict] ?? 0) + 1;
  const lowest = frames.reduce<number | null>((worst, { verdict, margin }, i) => {
    if (verdict !== 'falls' || margin === null) return worst;
    return worst === null || margin < (frames[worst]?.margin ?? 0) ? i : worst;
  }, null);
  yield {
    kind: 'done',
    whole: {
      ...{ counts, worst: lowest, stopsFrom: null, contacts: [], rises: [], cutoff: 0 },
      spans: supportSpans(parts, source.rate),
      sentences: [
        'Depth is assumed, so speeds are not known: every frame is weighed as a held pose.',
      ],
      atRest: true,
    },
  };
}

const NOT_MOVING = {
  ...{ stability: null, movingRatio: null, speed: null, extrapolated: null, pressure: null },
  ...{ pressureMargin: null, needed: null, has: null, topplesIn: null },
} as const;

const NOBODY: MotionFrame = {
  ...{ verdict: 'unknown', sentence: 'Nobody was found in this picture.' },
  ...{ rest: { verdict: 'unknown', ratio: null }, margin: null, centre: null },
  ...NOT_MOVING,
};

function pictureFrame(
  reading: ClipFrame['reading'],
  said: { readonly verdict: MotionFrame['verdict']; readonly sentence: string },
): MotionFrame {
  const { margin, centre } = reading;
  return {
    ...{ verdict: said.verdict, sentence: said.sentence, rest: restOf(reading) },
    ...{ margin: margin?.distance ?? null, centre },
    ...NOT_MOVING,
  };
}

/** Reads the file of a job. Throws an Error to show where it cannot be read. */
export async function readJobClip(
  job: WeighJob,
  bytesOf: (file: string) => Uint8Array | undefined,
): Promise<MovingClip | null> {
  if (job.clip === null) return null;
  const bytes = bytesOf(job.clip.file);
  if (bytes === undefined) throw new Error('The file of this clip is not here.');
  const text = new TextDecoder().decode(bytes);
  const read = await readMoving({ bytes, text }, clipSettings(job.clip));
  if (!read.ok) throw new Error(read.message);
  return read.clip;
}
