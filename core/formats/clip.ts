import { readBvh } from './bvh.ts';
import { buildClip, type Clip, checkSizes } from './clip-build.ts';
import { bvhMotion } from './clip-motion.ts';
import type { ClipOptions } from './clip-report.ts';

export type ClipRead =
  | { readonly ok: true; readonly clip: Clip }
  /** `line` from 1; null where the fault is not in one line of the text. */
  | { readonly ok: false; readonly message: string; readonly line: number | null };

// A page asks again while a person changes the mass, and again with nothing changed when it renders.
let lastText: { text: string; read: ReturnType<typeof readBvh> } | null = null;
let lastClip: { text: string; options: string; result: ClipRead } | null = null;

/**
 * Reads a recorded clip (BVH) as a figure that can be weighed at every frame (clip-build.ts tells how
 * it is made). Never throws for a bad file; throws RangeError for a mass outside 1-1000 kg or a stature
 * outside 0.4-3.5 m.
 */
export function readClip(text: string, options: ClipOptions): ClipRead {
  checkSizes(options);
  const key = JSON.stringify(options);
  if (lastClip?.text === text && lastClip.options === key) return lastClip.result;
  const result = read(text, options);
  lastClip = { text, options: key, result };
  return result;
}

function read(text: string, options: ClipOptions): ClipRead {
  if (lastText?.text !== text) lastText = { text, read: readBvh(text) };
  const bvh = lastText.read;
  if (!bvh.ok) return bvh;
  const built = buildClip(bvhMotion(bvh.clip), options);
  return built.ok ? built : { ...built, line: null };
}
