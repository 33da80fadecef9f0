import { type ClipSource, keyedFigure } from '../motion/index.ts';
import type { Figure, Scene } from '../scene/types.ts';
import { sceneWithClip } from './clip-scene.ts';
import { readKeys, readSpan } from './keys.ts';
import { readSceneEntries } from './scene-entries.ts';
import { type Entries, readRows, SEPARATOR } from './table.ts';

/** The clip that a draft plays, once its file is read. */
export interface PlayedClip {
  readonly rate: number;
  readonly frameCount: number;
  sceneAt(frame: number): Scene;
}

/** What a shot says of its length. */
export interface ShotTiming {
  /** Frames per second. */
  readonly rate: number;
  readonly frames: readonly [first: number, last: number];
}

/**
 * A draft in motion: what it plays from a file, the figures that keys move, and loads and grips that are
 * there for some frames only. Null for a draft that is one pose. Page, worker and server weigh the same
 * scenes by it. Its rate and length are those of the clip, else of the shot.
 * @param cast the review's cast (`castMap`), for figures that have their body from it
 */
export function movingDraft(
  entries: Entries,
  clip: PlayedClip | null,
  shot: ShotTiming,
  cast?: Entries,
): ClipSource | null {
  const keys = readKeys(entries);
  // Asked at every step of a drag: a draft that is one pose is not read for it.
  if (clip === null && keys.size === 0) return null;
  const scene = readSceneEntries(entries, cast);
  const keyed = scene.figures.some(({ id }) => keys.has(id));
  if (clip === null && !keyed) return null;
  const spans = spansOf(entries);
  const there = (kind: string, id: string, frame: number): boolean => {
    const span = spans.get(`${kind}/${id}`);
    return span === undefined || (span[0] <= frame && frame <= span[1]);
  };
  // What keys move is reached for frame by frame; a clip that is played over and over does it once.
  const ways = scene.figures.map((figure) => {
    const own = keys.get(figure.id);
    return own === undefined ? () => figure : keyedFigure(figure, own, scene.surfaces);
  });
  const moved = new Map<number, readonly Figure[]>();
  const figuresAt = (frame: number): readonly Figure[] => {
    const known = moved.get(frame);
    if (known) return known;
    const figures = ways.map((at) => at(frame));
    moved.set(frame, figures);
    return figures;
  };
  const addedAt = (frame: number): Scene => ({
    figures: keyed ? figuresAt(frame) : scene.figures,
    loads: scene.loads.filter(({ id }) => there('load', id, frame)),
    surfaces: scene.surfaces,
    grips: scene.grips.filter(({ id }) => there('grip', id, frame)),
  });
  if (clip !== null) {
    const { rate, frameCount } = clip;
    const sceneAt = (frame: number): Scene => sceneWithClip(addedAt(frame), clip.sceneAt(frame));
    return { rate, frameCount, sceneAt };
  }
  const frameCount = Math.max(1, Math.round(shot.frames[1] - shot.frames[0]) + 1);
  return { rate: shot.rate > 0 ? shot.rate : 24, frameCount, sceneAt: addedAt };
}

/** Frames between which loads and grips are there, by `load/ID` and `grip/ID`. */
function spansOf(entries: Entries): ReadonlyMap<string, readonly [number, number]> {
  const spans = new Map<string, readonly [number, number]>();
  for (const kind of ['load', 'grip']) {
    for (const { id, fields } of readRows(entries, kind).values()) {
      const span = readSpan(fields.get('span'));
      if (span !== null) spans.set(kind + SEPARATOR + id, span);
    }
  }
  return spans;
}
