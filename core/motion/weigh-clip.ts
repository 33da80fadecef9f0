import { contactSpanSteps, withContactSpans, withEdited } from './contact-spans.ts';
import { judgeSteps } from './judge-clip.ts';
import { sampleFrame } from './sample-frame.ts';
import type {
  ClipProgress,
  ClipReading,
  ClipSource,
  FrameSample,
  WeighClipOptions,
} from './types.ts';

/**
 * Weighs a clip in steps: after every `chunk` frames it yields how far it is, so that a worker can
 * report and stop (by not asking for more); in the end it returns the reading. A scene without any group
 * cannot be weighed.
 * @throws RangeError for a clip without frames, with an impossible rate, or an empty scene
 */
export function* weighClipSteps(
  clip: ClipSource,
  options: WeighClipOptions = {},
): Generator<ClipProgress, ClipReading> {
  const { rate, frameCount } = clip;
  if (!(frameCount > 0)) throw new RangeError(`a clip needs at least one frame, got ${frameCount}`);
  if (!(rate > 0 && Number.isFinite(rate)))
    throw new RangeError(`a clip needs a positive frame rate, got ${rate}`);
  const chunk = Math.max(1, options.chunk ?? 250);
  const idle = { total: frameCount, from: 0, readings: [] };
  let contacts = options.contacts ?? (frameCount > 1 ? null : 'single');
  if (contacts === null) {
    const finding = contactSpanSteps(clip, chunk);
    let found = finding.next();
    while (!found.done) {
      yield { stage: 'contacts', done: found.value, ...idle };
      found = finding.next();
    }
    contacts = withEdited(found.value, options.edited ?? []);
  }
  const settled = contacts === 'single' ? clip : withContactSpans(clip, contacts);
  const samples: FrameSample[] = [];
  let from = 0;
  for (let frame = 0; frame < frameCount; frame++) {
    samples.push(sampleFrame(settled.sceneAt(frame), frame, options.figure));
    if (samples.length - from < chunk || samples.length === frameCount) continue;
    const readings = samples.slice(from).map(({ reading }) => reading);
    yield { stage: 'weighing', done: samples.length, total: frameCount, from, readings };
    from = samples.length;
  }
  const judging = judgeSteps(samples, rate, { ...options, contacts }, chunk);
  for (;;) {
    const step = judging.next();
    if (step.done) return step.value;
    yield { stage: 'judging', done: step.value, ...idle };
  }
}

/**
 * Weighs a clip in one go. With `cancelled` it asks after every chunk and returns null once that says
 * yes. Errors as `weighClipSteps`.
 */
export function weighClip(
  clip: ClipSource,
  options: WeighClipOptions & {
    readonly onProgress?: (progress: ClipProgress) => void;
    readonly cancelled: () => boolean;
  },
): ClipReading | null;
export function weighClip(
  clip: ClipSource,
  options?: WeighClipOptions & { readonly onProgress?: (progress: ClipProgress) => void },
): ClipReading;
export function weighClip(
  clip: ClipSource,
  options: WeighClipOptions & {
    readonly onProgress?: (progress: ClipProgress) => void;
    readonly cancelled?: () => boolean;
  } = {},
): ClipReading | null {
  const steps = weighClipSteps(clip, options);
  for (;;) {
    if (options.cancelled?.()) return null;
    const step = steps.next();
    if (step.done) return step.value;
    options.onProgress?.(step.value);
  }
}
