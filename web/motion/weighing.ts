import { castMap } from '../../core/document/index.ts';
import type { ClipState, LiveDraft } from '../session/index.ts';
import { groupChoices } from './group-choices.ts';
import type {
  FromWorker,
  MotionFrame,
  RestFrame,
  ToWorker,
  WeighJob,
  WholeClip,
} from './protocol.ts';

/** How far the weighing of a clip is. */
export type Progress =
  | { readonly kind: 'idle' }
  | { readonly kind: 'working'; readonly words: string; readonly share: number }
  | { readonly kind: 'stopped' }
  | { readonly kind: 'failed'; readonly message: string };

const STAGES = {
  reading: 'reading the file',
  contacts: 'finding what carries',
  weighing: 'weighing',
  judging: 'judging the motion',
} as const;
/** Rough parts of the whole that the stages begin at. */
const BEGINS = { reading: 0, contacts: 0.02, weighing: 0.35, judging: 0.92, end: 1 } as const;
const NEXT = {
  reading: 'contacts',
  contacts: 'weighing',
  weighing: 'judging',
  judging: 'end',
} as const;

/** What is shown of a weighed clip besides its margins; each person's own. */
export interface MotionLook {
  readonly speed: boolean;
  readonly pressure: boolean;
  /** Contact poses before and after, in the elevation. */
  readonly ghosts: boolean;
  /** Ways of centre, extrapolated centre and pressure, in plan. */
  readonly paths: boolean;
  /** When each part carries, as bars under the strip. */
  readonly contacts: boolean;
  /** The character's own mesh over the figure. */
  readonly mesh: boolean;
}

/** Up to this many frames the slowest speed that still carries is looked for unasked. */
export const SHORT = 1500;
/** A person who drags is left alone this long before a clip is weighed anew, milliseconds. */
const PATIENCE_MS = 250;

/**
 * Weighs a live draft in motion, in a worker, whenever what moves changes; fires `change` as frames come
 * in, at most once a frame of the page. `frames` holds what is known of each frame; what was known of a
 * draft before it changed stays until it is known anew. While the readings of the shot are hidden for a
 * call nothing is weighed or known.
 */
export class MotionWeighing extends EventTarget {
  readonly live: LiveDraft;
  frames: (MotionFrame | null)[] = [];
  resting: (RestFrame | null)[] = [];
  whole: WholeClip | null = null;
  progress: Progress = { kind: 'idle' };
  look: MotionLook = {
    ...{ speed: false, pressure: false, ghosts: false, paths: true, contacts: true, mesh: true },
  };
  /** Goes up with every change. */
  version = 0;
  #figure: string | null = null;
  #slowest = false;
  #worker: Worker | null = null;
  readonly #sent = new Set<string>();
  #job = 0;
  /** What was weighed last: entries, clip and shot as text. */
  #key = '';
  #seen: LiveDraft['motion'] = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #told: number | null = null;

  constructor(live: LiveDraft) {
    super();
    this.live = live;
    live.addEventListener('change', this.#follow);
    this.#follow();
  }

  close(): void {
    this.live.removeEventListener('change', this.#follow);
    clearTimeout(this.#timer);
    if (this.#told !== null) cancelAnimationFrame(this.#told);
    this.#worker?.terminate();
    this.#worker = null;
  }

  /** The figure whose group is weighed; null: the main group. */
  get figure(): string | null {
    return this.#figure;
  }
  set figure(figure: string | null) {
    if (figure === this.#figure) return;
    this.#figure = figure;
    this.#key = '';
    this.#follow();
  }

  /** Who is weighed, where there are several: names of the figures of that group; empty for one group. */
  get subject(): string {
    const choices = groupChoices(this.live);
    return choices.find(({ figure }) => figure === this.#figure)?.name ?? choices[0]?.name ?? '';
  }

  /** Gives the weighing up; what is known stays. */
  stop(): void {
    this.#post({ kind: 'cancel' });
    clearTimeout(this.#timer);
    this.progress = { kind: 'stopped' };
    this.#tell();
  }

  /** Begins again after `stop`. */
  resume(): void {
    this.#key = '';
    this.#follow();
  }

  /** Looks for the slowest speed that still carries, which takes a while in a long clip. */
  findSlowest(): void {
    this.#slowest = true;
    this.resume();
  }

  readonly #follow = (): void => {
    const { motion, clip, entries, timing, hidden } = this.live;
    if (hidden) {
      this.#forget();
      return;
    }
    if (motion === null || (clip.kind !== 'ready' && clip.kind !== 'none')) return;
    if (!this.live.scene.figures.some(({ id }) => id === this.#figure)) this.#figure = null;
    // The same as before: only another frame is shown.
    if (motion === this.#seen && this.#key !== '') return;
    this.#seen = motion;
    const link = clip.kind === 'ready' ? clip.link : null;
    const list = [...entries];
    const cast = [...castMap(this.live.session.documents.scenes)];
    const key = JSON.stringify([list, cast, link, timing]);
    if (key === this.#key) return;
    this.#key = key;
    clearTimeout(this.#timer);
    // The first time at once; while things are moved by hand, when the hand rests.
    const wait = this.frames.length === 0 ? 0 : PATIENCE_MS;
    this.#timer = setTimeout(
      () => this.#start(clip, { entries: list, cast }, motion.frameCount),
      wait,
    );
  };

  /** Gives up and forgets what was found: readings that are hidden for a call are nowhere in the page. */
  #forget(): void {
    if (this.#key === '') return;
    clearTimeout(this.#timer);
    if (this.#worker !== null) this.#post({ kind: 'cancel' });
    // What is still on its way belongs to no job.
    this.#job += 1;
    this.#key = '';
    this.#seen = null;
    this.frames = [];
    this.resting = [];
    this.whole = null;
    this.progress = { kind: 'idle' };
    this.#tell();
  }

  #start(clip: ClipState, written: Pick<WeighJob, 'entries' | 'cast'>, frameCount: number): void {
    if (frameCount !== this.frames.length) {
      this.frames = new Array<MotionFrame | null>(frameCount).fill(null);
      this.whole = null;
    }
    this.resting = new Array<RestFrame | null>(frameCount).fill(null);
    const link = clip.kind === 'ready' ? clip.link : null;
    if (clip.kind === 'ready' && !this.#sent.has(clip.link.file)) {
      this.#sent.add(clip.link.file);
      this.#post({ kind: 'file', file: clip.link.file, bytes: clip.bytes });
    }
    this.#job += 1;
    const slowest = this.#slowest || frameCount <= SHORT;
    const shot = this.live.timing;
    const job = { id: this.#job, ...written, clip: link, shot, figure: this.#figure, slowest };
    this.#post({ kind: 'weigh', job });
    this.progress = { kind: 'working', words: STAGES.contacts, share: 0 };
    this.#tell();
  }

  #post(message: ToWorker): void {
    if (this.#worker === null) {
      this.#worker = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' });
      this.#worker.onmessage = ({ data }: MessageEvent<FromWorker>) => this.#take(data);
      this.#worker.onerror = () => {
        this.progress = {
          kind: 'failed',
          message: 'The weighing stopped unexpectedly; nothing was changed. Start it again.',
        };
        this.#worker?.terminate();
        this.#worker = null;
        this.#sent.clear();
        this.#tell();
      };
    }
    this.#worker.postMessage(message);
  }

  #take(message: FromWorker): void {
    if (message.id !== this.#job || this.progress.kind === 'stopped') return;
    switch (message.kind) {
      case 'progress': {
        const { stage, done, total } = message;
        const [from, to] = [BEGINS[stage], BEGINS[NEXT[stage]]];
        const share = from + (to - from) * (done / Math.max(1, total));
        this.progress = { kind: 'working', words: STAGES[stage], share };
        break;
      }
      case 'resting':
        message.frames.forEach((frame, i) => {
          this.resting[message.from + i] = frame;
        });
        break;
      case 'frames':
        message.frames.forEach((frame, i) => {
          this.frames[message.from + i] = frame;
        });
        break;
      case 'done':
        this.whole = message.whole;
        this.progress = { kind: 'idle' };
        break;
      case 'failed':
        this.progress = { kind: 'failed', message: message.message };
        break;
    }
    this.#tell();
  }

  setLook(part: Partial<MotionLook>): void {
    this.look = { ...this.look, ...part };
    this.#tell();
  }

  /**
   * Says that something changed at the page's next frame: hundreds of messages of a long clip are drawn as
   * often as can be seen, and not one after the other.
   */
  #tell(): void {
    this.version += 1;
    this.#told ??= requestAnimationFrame(() => {
      this.#told = null;
      this.dispatchEvent(new Event('change'));
    });
  }
}

const known = new WeakMap<LiveDraft, MotionWeighing>();

/** The weighing of a live draft, one for all parts of the page; it ends with the draft. */
export function weighingOf(live: LiveDraft): MotionWeighing {
  const there = known.get(live);
  if (there) return there;
  const weighing = new MotionWeighing(live);
  known.set(live, weighing);
  live.addEventListener('closed', () => weighing.close(), { once: true });
  return weighing;
}
