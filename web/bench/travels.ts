import type { Vec3 } from '../../core/geometry/index.ts';
import type { LiveDraft } from '../session/index.ts';
import type { Extent } from './camera.ts';
import { extentOf, type Shown, show } from './shown.ts';

/** Frames of a clip that are looked at to find how far it goes. */
const SAMPLES = 24;

const both = (pick: (a: number, b: number) => number, a: Vec3, b: Vec3): Vec3 => [
  pick(a[0], b[0]),
  pick(a[1], b[1]),
  pick(a[2], b[2]),
];

/** How far a clip goes, found once for each clip: what is edited over it makes its motion anew each time. */
export class Travels {
  #way: { readonly clip: LiveDraft['clip']; readonly extent: Extent } | null = null;

  /** Everything that is seen in the course of a clip; what is seen now without one. */
  of({ motion, clip }: LiveDraft, { report }: Shown, now: Extent): Extent {
    if (motion === null || clip.kind !== 'ready') return now;
    if (this.#way?.clip === clip) return this.#way.extent;
    const step = Math.max(1, Math.floor(motion.frameCount / SAMPLES));
    let extent = now;
    for (let frame = 0; frame < motion.frameCount; frame += step) {
      const { min, max } = extentOf(show(motion.sceneAt(frame), { ...report, groups: [] }));
      extent = {
        ...extent,
        min: both(Math.min, extent.min, min),
        max: both(Math.max, extent.max, max),
      };
    }
    this.#way = { clip, extent };
    return extent;
  }
}
