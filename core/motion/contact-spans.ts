import { PATCHES, type PatchName } from '../body/index.ts';
import { type Face, facesOf } from '../contact/faces.ts';
import { SOFT_TOUCH } from '../contact/index.ts';
import { applyTransform, dot, type Vec3 } from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import { type ContactSetting, type Figure, posedFigures } from '../scene/index.ts';
import { exposures } from './held-frames.ts';
import { finish, telling } from './steps.ts';
import { STEADY_FOR } from './support-changes.ts';
import type { ClipSource } from './types.ts';

/**
 * Where and how fast a patch must be to carry, with hysteresis: it comes down under the first pair of
 * limits and leaves over the second. Own choice: a swinging foot does 1 to 4 m/s, a resting one in a
 * recording up to 0.1; the height is that of a single pose (SOFT_TOUCH), and half as much again.
 */
const DOWN = { height: SOFT_TOUCH, speed: 0.5 } as const;
const UP = { height: 1.5 * SOFT_TOUCH, speed: 1 } as const;

/** Speeds are taken over about this time on either side, seconds: noise of a recording stays out. */
const SPEED_OVER = 1 / 30;

/** So many patches of a frame are settled in the time that reading one frame takes (about, as measured). */
const PATCHES_A_FRAME = 60;

/** Faces that look up steeply enough to be stood on (within 45 degrees). */
const LEVEL_ENOUGH = Math.SQRT1_2;

/** The frames over which a patch of a figure carries. */
export interface ContactSpan {
  readonly figure: string;
  readonly patch: PatchName;
  readonly from: number;
  /** Last frame of it. */
  readonly to: number;
}

/**
 * When each patch of each figure is down, by height and speed with hysteresis: a foot that swings past
 * a centimetre above the floor carries nothing, though a single picture cannot tell. A patch counts
 * as slow if it stays where it was, or stays where it will be. Where everything that is low enough
 * moves (a walk on the spot, a slide), speed does not count. Gaps and touches shorter than
 * STEADY_FOR are closed. Patches that are set to planted or lifted by hand are left out.
 */
export function contactSpans(clip: ClipSource): readonly ContactSpan[] {
  return finish(contactSpanSteps(clip, clip.frameCount));
}

/** The same in steps: yields the number of frames read after every `chunk` of them, then all for each patch. */
export function* contactSpanSteps(
  clip: ClipSource,
  chunk: number,
): Generator<number, readonly ContactSpan[]> {
  const tracks = yield* recordTracks(clip, chunk);
  const spans: ContactSpan[] = [];
  for (const [figure, track] of tracks) {
    const states = yield* telling(stateSteps(track, clip.rate, chunk), clip.frameCount);
    for (const [patch, down] of states) {
      let from = -1;
      for (let frame = 0; frame <= clip.frameCount; frame++) {
        const here = frame < clip.frameCount && down[frame] === 1;
        if (here && from < 0) from = frame;
        if (here || from < 0) continue;
        spans.push({ figure, patch, from, to: frame - 1 });
        from = -1;
      }
    }
  }
  return spans;
}

/**
 * The clip with its patches lifted outside their spans; inside, a patch touches as in a single pose.
 * Settings made by hand stay.
 */
export function withContactSpans(clip: ClipSource, spans: readonly ContactSpan[]): ClipSource {
  const byFigure = new Map<string, Map<PatchName, ContactSpan[]>>();
  for (const span of spans) {
    const patches = byFigure.get(span.figure) ?? new Map<PatchName, ContactSpan[]>();
    byFigure.set(span.figure, patches);
    const list = patches.get(span.patch) ?? [];
    patches.set(span.patch, list);
    list.push(span);
  }
  const settle = (figure: Figure, frame: number): Figure => {
    const patches = byFigure.get(figure.id);
    const contacts: Partial<Record<PatchName, ContactSetting>> = { ...figure.contacts };
    for (const patch of PATCHES) {
      if ((contacts[patch] ?? 'auto') !== 'auto') continue;
      const down = patches?.get(patch)?.some(({ from, to }) => from <= frame && frame <= to);
      if (!down) contacts[patch] = 'lifted';
    }
    return { ...figure, contacts };
  };
  return {
    rate: clip.rate,
    frameCount: clip.frameCount,
    sceneAt: (frame) => {
      const scene = clip.sceneAt(frame);
      return { ...scene, figures: scene.figures.map((figure) => settle(figure, frame)) };
    },
  };
}

/** When a patch carries as a person set it, in the place of what is found. */
export interface EditedContact {
  readonly figure: string;
  readonly patch: PatchName;
  /** First and last frame of each span; none: it never carries. */
  readonly spans: readonly (readonly [from: number, to: number])[];
}

/** The spans that were found, with those of edited patches in their place. */
export function withEdited(
  found: readonly ContactSpan[],
  edited: readonly EditedContact[],
): readonly ContactSpan[] {
  const isEdited = ({ figure, patch }: ContactSpan): boolean =>
    edited.some((one) => one.figure === figure && one.patch === patch);
  return [
    ...found.filter((span) => !isEdited(span)),
    ...edited.flatMap(({ figure, patch, spans }) =>
      spans.map(([from, to]) => ({ figure, patch, from, to })),
    ),
  ];
}

/** One figure over the clip: its centre, and of every patch the corners and the height. */
interface Track {
  readonly centre: Vec3[];
  readonly patches: Map<PatchName, PatchTrack>;
}

// Typed arrays: ten thousand frames of a hundred corners would be a million small objects.
interface PatchTrack {
  readonly count: number;
  /** World corners, x, y, z of each, frame after frame. */
  readonly corners: Float64Array;
  /** Height of the lowest corner above what is under it, metres; Infinity where nothing is. */
  readonly heights: Float64Array;
  /** Which corner that is. */
  readonly lowest: Uint16Array;
}

function* recordTracks(clip: ClipSource, chunk: number): Generator<number, Map<string, Track>> {
  const tracks = new Map<string, Track>();
  for (let frame = 0; frame < clip.frameCount; frame++) {
    const scene = clip.sceneAt(frame);
    const faces = scene.surfaces.flatMap(facesOf).filter(({ normal }) => normal[1] > LEVEL_ENOUGH);
    const posed = posedFigures(scene);
    for (const figure of scene.figures) {
      const known = tracks.get(figure.id) ?? { centre: [], patches: new Map() };
      tracks.set(figure.id, known);
      recordFrame(known, figure, posed.get(figure.id)!, faces, frame, clip.frameCount);
    }
    for (const [id, track] of tracks)
      if (!posed.has(id)) track.centre[frame] = track.centre[frame - 1] ?? [0, 0, 0];
    if ((frame + 1) % chunk === 0 && frame + 1 < clip.frameCount) yield frame + 1;
  }
  // A figure that comes in later, too, has a centre in every frame.
  for (const { centre } of tracks.values())
    for (let frame = 0; frame < clip.frameCount && centre[frame] === undefined; frame++)
      centre[frame] = [0, 0, 0];
  return tracks;
}

function newPatch(count: number, frameCount: number): PatchTrack {
  return {
    count,
    corners: new Float64Array(3 * count * frameCount),
    // Frames without the figure, or with a setting made by hand, have it near nothing.
    heights: new Float64Array(frameCount).fill(Number.POSITIVE_INFINITY),
    lowest: new Uint16Array(frameCount),
  };
}

function recordFrame(
  track: Track,
  figure: Figure,
  posed: PosedFigure,
  faces: readonly Face[],
  frame: number,
  frameCount: number,
): void {
  track.centre[frame] = posed.centre;
  for (const name of PATCHES) {
    if ((figure.contacts[name] ?? 'auto') !== 'auto') continue;
    const { segment, outline } = posed.body.patches[name];
    if (outline.length === 0) continue;
    const at = posed.segments[segment];
    const entry = track.patches.get(name) ?? newPatch(outline.length, frameCount);
    track.patches.set(name, entry);
    let height = Number.POSITIVE_INFINITY;
    for (let i = 0; i < Math.min(outline.length, entry.count); i++) {
      const corner = applyTransform(at, outline[i]!);
      entry.corners.set(corner, 3 * (frame * entry.count + i));
      const above = heightOver(corner, faces);
      if (above >= height) continue;
      height = above;
      entry.lowest[frame] = i;
    }
    entry.heights[frame] = height;
  }
}

/** Height above the nearest face that the point is over (or a little under); Infinity without one. */
function heightOver(point: Vec3, faces: readonly Face[]): number {
  let best = Number.POSITIVE_INFINITY;
  for (const { normal, offset, bounds, depth } of faces) {
    const height = dot(normal, point) - offset;
    if (height < -depth || Math.abs(height) >= Math.abs(best)) continue;
    if (bounds.every(({ axis, limit }) => dot(axis, point) <= limit)) best = height;
  }
  return best;
}

/** In which frames each patch is down (1) or up (0); yields after patches that took as long as a chunk of frames. */
function* stateSteps(
  { centre, patches }: Track,
  rate: number,
  chunk: number,
): Generator<void, Map<PatchName, Uint8Array>> {
  const count = centre.length;
  const runs = exposures(centre, rate);
  const runOf = new Int32Array(count);
  runs.forEach(({ from, to }, i) => {
    runOf.fill(i, from, to + 1);
  });
  const reach = Math.max(1, Math.round(SPEED_OVER * rate));
  /** The frame about SPEED_OVER away, at least one distinct pose, on one side; null beyond the clip. */
  const beside = (frame: number, side: 1 | -1): number | null => {
    const run = runs[runOf[frame]! + side];
    const there = frame + side * reach;
    if (run === undefined) return null;
    const next = side > 0 ? run.from : run.to;
    const further = side > 0 ? Math.max(there, next) : Math.min(there, next);
    return further < 0 || further >= count ? next : further;
  };
  let since = 0;
  const isLong = (): boolean => {
    since += count;
    if (since < PATCHES_A_FRAME * chunk) return false;
    since = 0;
    return true;
  };
  const states = new Map<PatchName, Uint8Array>();
  const speeds = new Map<PatchName, Float64Array>();
  for (const [name, patch] of patches) {
    const way = (a: number, b: number, corner: number): number => {
      const i = 3 * (a * patch.count + corner);
      const k = 3 * (b * patch.count + corner);
      const { corners } = patch;
      return Math.hypot(
        corners[k]! - corners[i]!,
        corners[k + 1]! - corners[i + 1]!,
        corners[k + 2]! - corners[i + 2]!,
      );
    };
    const speed = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
    for (let frame = 0; frame < count; frame++) {
      if (!(patch.heights[frame]! <= UP.height)) continue;
      const corner = patch.lowest[frame]!;
      let least = Number.POSITIVE_INFINITY;
      for (const side of [1, -1] as const) {
        const other = beside(frame, side);
        if (other === null || patch.heights[other] === Number.POSITIVE_INFINITY) continue;
        least = Math.min(least, (way(frame, other, corner) * rate) / Math.abs(other - frame));
      }
      // A single pose moves nowhere.
      speed[frame] = least === Number.POSITIVE_INFINITY ? 0 : least;
    }
    speeds.set(name, speed);
    if (isLong()) yield;
  }
  const low = (name: PatchName, frame: number, limit: number): boolean =>
    (patches.get(name)?.heights[frame] ?? Infinity) <= limit;
  // Where all that is low moves, speed tells nothing.
  const judged = Uint8Array.from({ length: count }, (_, frame) =>
    [...patches.keys()].some(
      (name) => low(name, frame, DOWN.height) && speeds.get(name)![frame]! <= DOWN.speed,
    )
      ? 1
      : 0,
  );
  for (const name of patches.keys()) {
    const speed = speeds.get(name)!;
    const down = new Uint8Array(count);
    let is = false;
    for (let frame = 0; frame < count; frame++) {
      const fast = (limit: number): boolean => judged[frame] === 1 && speed[frame]! > limit;
      if (is) is = low(name, frame, UP.height) && !fast(UP.speed);
      else is = low(name, frame, DOWN.height) && !fast(DOWN.speed);
      down[frame] = is ? 1 : 0;
    }
    closeShort(down, Math.round(STEADY_FOR * rate), 0);
    closeShort(down, Math.round(STEADY_FOR * rate), 1);
    states.set(name, down);
    if (isLong()) yield;
  }
  return states;
}

/** Turns runs of `state` that are shorter than `shortest` and do not touch an end of the clip. */
function closeShort(states: Uint8Array, shortest: number, state: 0 | 1): void {
  let from = 0;
  for (let i = 1; i <= states.length; i++) {
    if (i < states.length && states[i] === states[from]) continue;
    const inside = from > 0 && i < states.length;
    if (inside && states[from] === state && i - from < shortest) states.fill(1 - state, from, i);
    from = i;
  }
}
