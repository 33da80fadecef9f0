import { contactKey, figureKey, jointKey, loadKey, surfaceKey } from '../../core/document/index.ts';
import { add, conjugate, rotate, subtract, type Vec3 } from '../../core/geometry/index.ts';
import { type Pose, palmCentre, type ReachGoal, reach } from '../../core/pose/index.ts';
import { bodyOf, type Figure, type Load } from '../../core/scene/index.ts';
import { plantedFeet, type Shown } from './shown.ts';
import { segmentWord } from './words.ts';

/** Entries of a draft that put something somewhere, by key (core/document). */
export type Patch = Readonly<Record<string, unknown>>;

/** Parts of a figure that are moved by hand; the rest of the body follows them. */
export const REACHED = ['head', 'chest', 'pelvis', 'handL', 'handR', 'footL', 'footR'] as const;
export type Reached = (typeof REACHED)[number];

/** Something that can be moved by dragging it, with arrow keys, or by typing where it shall be. */
export type Movable =
  | { readonly kind: 'part'; readonly figure: string; readonly part: Reached }
  | { readonly kind: 'load'; readonly load: string }
  | { readonly kind: 'surface'; readonly surface: string };

export function movableId(movable: Movable): string {
  if (movable.kind === 'part') return `${movable.figure}/${movable.part}`;
  return movable.kind === 'load' ? `load/${movable.load}` : `surface/${movable.surface}`;
}

/**
 * Everything in a scene that can be moved, figures first.
 * @param fixed figures that follow a clip: they and what they hold stay as recorded
 */
export function movablesOf({ scene }: Shown, fixed: ReadonlySet<string>): Movable[] {
  const parts = scene.figures
    .filter(({ id }) => !fixed.has(id))
    .flatMap(({ id }) => REACHED.map((part): Movable => ({ kind: 'part', figure: id, part })));
  const loads = scene.loads
    .filter(({ place }) => place.kind !== 'held' || !fixed.has(place.figure))
    .map((load): Movable => ({ kind: 'load', load: load.id }));
  const surfaces = scene.surfaces
    .filter((surface) => surface.size !== null)
    .map((surface): Movable => ({ kind: 'surface', surface: surface.id }));
  return [...parts, ...loads, ...surfaces];
}

/** What a person calls it, e.g. "left hand"; with the figure's name where there are several. */
export function movableLabel({ scene }: Shown, movable: Movable): string {
  const named = (list: readonly { id: string; name: string }[], id: string): string =>
    list.find((item) => item.id === id)?.name ?? id;
  if (movable.kind === 'load') return named(scene.loads, movable.load);
  if (movable.kind === 'surface') return named(scene.surfaces, movable.surface);
  const part = segmentWord(movable.part);
  return scene.figures.length > 1 ? `${part} of ${named(scene.figures, movable.figure)}` : part;
}

/** Where its grip is in the world, metres; null when it is not there (any more). */
export function movableAt({ posed, placed, scene }: Shown, movable: Movable): Vec3 | null {
  if (movable.kind === 'load') return placed.get(movable.load)?.position ?? null;
  if (movable.kind === 'surface')
    return scene.surfaces.find(({ id }) => id === movable.surface)?.position ?? null;
  const figure = posed.get(movable.figure);
  if (figure === undefined) return null;
  if (movable.part === 'handL') return palmCentre(figure, 'L');
  if (movable.part === 'handR') return palmCentre(figure, 'R');
  return figure.segments[movable.part].position;
}

/** Feet that stay where they are while it is moved. */
export function stayingFeet({ report, scene }: Shown, movable: Movable): ('L' | 'R')[] {
  if (movable.kind === 'surface') return [];
  const figure = movable.kind === 'part' ? movable.figure : holderOf(scene.loads, movable.load);
  if (figure === null) return [];
  const moved = movable.kind === 'part' ? movable.part : null;
  return plantedFeet(report, figure).filter((side) => moved !== `foot${side}`);
}

function holderOf(loads: readonly Load[], id: string): string | null {
  const place = loads.find((load) => load.id === id)?.place;
  return place?.kind === 'held' ? place.figure : null;
}

/** What moving it came to: the entries to set, and whether the figure could get there. */
export interface Moved {
  readonly patch: Patch;
  readonly reached: boolean;
}

const NOTHING: Moved = { patch: {}, reached: false };

/**
 * Moves something to `target` (world, metres), from how things stand in `start`.
 * @param feet feet that keep their place, see `stayingFeet`
 */
export function move(
  start: Shown,
  movable: Movable,
  target: Vec3,
  feet: readonly ('L' | 'R')[],
): Moved {
  const { scene } = start;
  if (movable.kind === 'surface') {
    return { patch: { [surfaceKey(movable.surface, 'position')]: target }, reached: true };
  }
  if (movable.kind === 'load') {
    const load = scene.loads.find(({ id }) => id === movable.load);
    return load === undefined ? NOTHING : moveLoad(start, load, target, feet);
  }
  const figure = scene.figures.find(({ id }) => id === movable.figure);
  if (figure === undefined) return NOTHING;
  const goal: ReachGoal = { segment: movable.part, target, planted: feet };
  const { pose, reached } = reach(bodyOf(figure.body), figure.pose, goal);
  return { patch: poseEntries(figure.id, figure.pose, pose), reached };
}

function moveLoad(start: Shown, load: Load, target: Vec3, feet: readonly ('L' | 'R')[]): Moved {
  const { place } = load;
  if (place.kind === 'standing') {
    return {
      patch: { [loadKey(load.id, 'place')]: { ...place, position: target } },
      reached: true,
    };
  }
  const posed = start.posed.get(place.figure);
  const figure = start.scene.figures.find(({ id }) => id === place.figure);
  const from = start.placed.get(load.id);
  if (posed === undefined || figure === undefined || from === undefined) return NOTHING;
  const step = subtract(target, from.position);
  if (place.kind === 'attached') {
    const turned = rotate(conjugate(posed.segments[place.segment].rotation), step);
    const moved = { ...place, offset: add(place.offset, turned) };
    return { patch: { [loadKey(load.id, 'place')]: moved }, reached: true };
  }
  // What is held goes where the hands go: it is moved by moving them.
  let pose = figure.pose;
  let reached = true;
  for (const side of ['L', 'R'] as const) {
    if (place.hands !== 'both' && place.hands !== (side === 'L' ? 'left' : 'right')) continue;
    const goal: ReachGoal = {
      segment: `hand${side}`,
      target: add(palmCentre(posed, side), step),
      planted: feet,
    };
    const result = reach(bodyOf(figure.body), pose, goal);
    pose = result.pose;
    reached &&= result.reached;
  }
  return { patch: poseEntries(figure.id, figure.pose, pose), reached };
}

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** The entries in which two poses of one figure differ; a joint back at rest is removed. */
export function poseEntries(figure: string, before: Pose, after: Pose): Patch {
  const patch: Record<string, unknown> = {};
  if (!same(before.position, after.position)) patch[figureKey(figure, 'position')] = after.position;
  if (!same(before.rotation, after.rotation)) patch[figureKey(figure, 'rotation')] = after.rotation;
  for (const segment of new Set([...Object.keys(before.joints), ...Object.keys(after.joints)])) {
    const name = segment as keyof Pose['joints'];
    if (!same(before.joints[name], after.joints[name])) {
      patch[jointKey(figure, name)] = after.joints[name];
    }
  }
  return patch;
}

/** The setting that pressing a contact leads to: auto, planted, lifted, auto. */
export function nextSetting(figure: Figure, patch: keyof Figure['contacts']): Patch {
  const order = { auto: 'planted', planted: 'lifted', lifted: undefined } as const;
  return { [contactKey(figure.id, patch)]: order[figure.contacts[patch] ?? 'auto'] };
}
