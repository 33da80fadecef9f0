import { assess, type Verdict } from '../../core/balance/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { mainGroup } from './shown.ts';

/** One frame as the margin strip shows it. */
export interface WeighedFrame {
  readonly verdict: Verdict;
  /** Margin over the radius of the largest circle in the support; null without a support that has an area. */
  readonly ratio: number | null;
  /** Ids of the contacts that carry weight, joined: changes where the support changes. */
  readonly contacts: string;
}

/** How long one slice of weighing may keep the page, milliseconds: half a frame at 60 a second. */
const SLICE_MS = 7;

const idle: (work: () => void) => number =
  typeof requestIdleCallback === 'function'
    ? (work) => requestIdleCallback(work, { timeout: 200 })
    : (work) => window.setTimeout(work, 16);
const cancelIdle: (id: number) => void =
  typeof cancelIdleCallback === 'function' ? cancelIdleCallback : clearTimeout;

/**
 * Frames in an order that shows the whole clip early: every 64th, then those half way between, and
 * so on until none is left.
 */
export function coarseFirst(count: number): number[] {
  const order: number[] = [];
  const seen = new Uint8Array(count);
  for (let step = 64; step >= 1; step /= 2) {
    for (let frame = 0; frame < count; frame += step) {
      if (seen[frame] === 1) continue;
      seen[frame] = 1;
      order.push(frame);
    }
  }
  return order;
}

export function weighFrame(scene: Scene): WeighedFrame {
  const report = assess(scene);
  const group = mainGroup(report);
  return {
    verdict: group?.verdict ?? 'unknown',
    ratio: group?.margin?.ratio ?? null,
    contacts: report.contacts
      .map(({ id }) => id)
      .sort()
      .join(' '),
  };
}

/** Weighs a whole clip in slices between the page's own work. `stop` gives it up. */
export class ClipWeighing {
  readonly frames: (WeighedFrame | null)[];
  readonly #order: readonly number[];
  readonly #sceneAt: (frame: number) => Scene;
  readonly #progress: () => void;
  #next = 0;
  #job: number | null = null;

  constructor(count: number, sceneAt: (frame: number) => Scene, progress: () => void) {
    this.frames = new Array<WeighedFrame | null>(count).fill(null);
    this.#order = coarseFirst(count);
    this.#sceneAt = sceneAt;
    this.#progress = progress;
    this.#job = idle(this.#slice);
  }

  /** Share of the clip that is weighed, 0..1. */
  get done(): number {
    return this.#order.length === 0 ? 1 : this.#next / this.#order.length;
  }

  stop(): void {
    if (this.#job !== null) cancelIdle(this.#job);
    this.#job = null;
  }

  readonly #slice = (): void => {
    const until = performance.now() + SLICE_MS;
    while (this.#next < this.#order.length && performance.now() < until) {
      const frame = this.#order[this.#next]!;
      this.frames[frame] = weighFrame(this.#sceneAt(frame));
      this.#next += 1;
    }
    this.#job = this.#next < this.#order.length ? idle(this.#slice) : null;
    this.#progress();
  };
}
