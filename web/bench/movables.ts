import {
  type Changes,
  type Grab,
  HANDLES,
  type Handle,
  handleAt,
  type ReachSettings,
  takeHold,
} from '../../core/balance/index.ts';
import { type PatchName, tipIn, turnTowards, wingOf } from '../../core/body/index.ts';
import {
  contactKey,
  extraTurnField,
  figureKey,
  jointKey,
  loadKey,
  surfaceKey,
} from '../../core/document/index.ts';
import { conjugate, IDENTITY, rotate, subtract, type Vec3 } from '../../core/geometry/index.ts';
import type { Planted, Pose } from '../../core/pose/index.ts';
import {
  CONTACT_SETTINGS,
  type ContactSetting,
  type Figure,
  type Scene,
} from '../../core/scene/index.ts';
import { EXTRA_WORDS } from './body-edit.ts';
import { restingTails, tailEntries } from './resting-tails.ts';
import type { Shown } from './shown.ts';
import { moveSide, type Side, sideAt, sidesOf, sideWord } from './surface-sides.ts';
import { handleWord, patchWord, plantedWords } from './words.ts';

/** Entries of a draft that put something somewhere, by key (core/document). */
export type Patch = Readonly<Record<string, unknown>>;

/** Something that can be moved by dragging it, with arrow keys, or by typing where it shall be. */
export type Movable =
  | Grab
  | { readonly kind: 'surface'; readonly surface: string }
  | Side
  /** A tail or wing by its tip: it turns about its root. */
  | { readonly kind: 'extra'; readonly figure: string; readonly extra: string };

export function movableId(movable: Movable): string {
  switch (movable.kind) {
    case 'part':
      return `${movable.figure}/${movable.part}`;
    case 'centre':
      return `${movable.figure}/centre`;
    case 'load':
      return `load/${movable.load}`;
    case 'surface':
      return `surface/${movable.surface}`;
    case 'extra':
      return `${movable.figure}/extra/${movable.extra}`;
    case 'side':
      return `side/${movable.surface}/${movable.axis}${movable.way > 0 ? '+' : '-'}`;
  }
}

/**
 * Everything in a scene that can be moved, figures first.
 * @param fixed figures that follow a clip: they and what they hold stay as recorded
 * @param sized the surface whose sides can be moved too
 */
export function movablesOf(
  shown: Shown,
  fixed: ReadonlySet<string>,
  sized: string | null = null,
): Movable[] {
  const { scene } = shown;
  const parts = scene.figures
    .filter(({ id }) => !fixed.has(id))
    .flatMap(({ id }): Movable[] => [
      ...HANDLES.map((part): Movable => ({ kind: 'part', figure: id, part })),
      { kind: 'centre', figure: id },
      ...turnedExtras(shown, id),
    ]);
  const loads = scene.loads
    .filter(({ place }) => place.kind === 'standing' || !fixed.has(place.figure))
    .map((load): Movable => ({ kind: 'load', load: load.id }));
  const surfaces = scene.surfaces
    .filter((surface) => surface.size !== null)
    .map((surface): Movable => ({ kind: 'surface', surface: surface.id }));
  const sides = scene.surfaces.filter(({ id }) => id === sized).flatMap(({ id }) => sidesOf(id));
  return [...parts, ...loads, ...surfaces, ...sides].filter(
    (each) => movableAt(shown, each) !== null,
  );
}

/** Extra parts that turn about their root; a neck goes with its head's handle, a hump not at all. */
const turnedExtras = ({ posed }: Shown, figure: string): Movable[] =>
  (posed.get(figure)?.body.extras ?? [])
    .filter(({ kind }) => kind === 'tail' || wingOf(kind) !== 0)
    .map(({ id }) => ({ kind: 'extra', figure, extra: id }));

/** What a person calls it, e.g. "left hand"; with the figure's name where there are several. */
export function movableLabel({ scene }: Shown, movable: Movable): string {
  const named = (list: readonly { id: string; name: string }[], id: string): string =>
    list.find((item) => item.id === id)?.name ?? id;
  if (movable.kind === 'load') return named(scene.loads, movable.load);
  if (movable.kind === 'surface') return named(scene.surfaces, movable.surface);
  if (movable.kind === 'side')
    return `${sideWord(movable)} side of ${named(scene.surfaces, movable.surface)}`;
  const part =
    movable.kind === 'centre'
      ? 'centre'
      : movable.kind === 'extra'
        ? extraWord(scene, movable)
        : handleWord(movable.part);
  return scene.figures.length > 1 ? `${part} of ${named(scene.figures, movable.figure)}` : part;
}

const extraWord = (
  { figures }: Scene,
  { figure, extra }: { readonly figure: string; readonly extra: string },
): string => {
  const kind = figures.find(({ id }) => id === figure)?.body.extras?.[extra]?.kind;
  return kind === undefined ? extra : `tip of the ${EXTRA_WORDS[kind]}`;
};

/** Where its grip is in the world, metres; null when it is not there (any more). */
export function movableAt({ posed, placed, scene, report }: Shown, movable: Movable): Vec3 | null {
  switch (movable.kind) {
    case 'load':
      return placed.get(movable.load)?.position ?? null;
    case 'surface':
      return scene.surfaces.find(({ id }) => id === movable.surface)?.position ?? null;
    case 'side': {
      const surface = scene.surfaces.find(({ id }) => id === movable.surface);
      return surface === undefined ? null : sideAt(surface, movable);
    }
    case 'extra': {
      const figure = posed.get(movable.figure);
      const extra = figure?.body.extras.find(({ id }) => id === movable.extra);
      return figure === undefined || extra === undefined ? null : tipIn(figure.segments, extra);
    }
    case 'centre':
      return report.figures.find(({ figure }) => figure === movable.figure)?.centre ?? null;
    case 'part': {
      const figure = posed.get(movable.figure);
      return figure === undefined ? null : handleAt(figure, movable.part);
    }
  }
}

/** A thing in the hand: asked again and again where it shall be. */
export interface Hold {
  /** Where it was when it was taken hold of, metres. */
  readonly at: Vec3;
  /** What keeps its place meanwhile, in words. */
  readonly stays: readonly string[];
  /** The entries that put it at `target`, and whether it gets there. */
  to(target: Vec3): { readonly patch: Patch; readonly reached: boolean };
}

export interface HoldSettings extends ReachSettings {
  /** Tails whose tips rest on something turn and curl so that the tips keep their places. */
  readonly tails?: boolean;
}

/** Takes hold of something as it stands in `start`; null when it is not there (any more). */
export function hold(start: Shown, movable: Movable, settings: HoldSettings): Hold | null {
  const { scene } = start;
  if (movable.kind === 'surface') {
    const at = movableAt(start, movable);
    const key = surfaceKey(movable.surface, 'position');
    return at && { at, stays: [], to: (to) => ({ patch: { [key]: to }, reached: true }) };
  }
  if (movable.kind === 'side') {
    const surface = scene.surfaces.find(({ id }) => id === movable.surface);
    const at = movableAt(start, movable);
    if (surface === undefined || at === null) return null;
    return {
      at,
      stays: [],
      to: (to) => ({ patch: moveSide(surface, movable, to), reached: true }),
    };
  }
  if (movable.kind === 'extra') return holdExtra(start, movable);
  const reaching = takeHold(scene, movable, settings);
  if (reaching === null) return null;
  const tails = settings.tails === true ? restingTails(start) : [];
  const mine = tails.some(({ figure }) => 'figure' in movable && movable.figure === figure);
  return {
    at: reaching.at,
    stays: [...stayWords(reaching.planted), ...(mine ? [patchWord('tailTip')] : [])],
    to: (target) => {
      const { changes, reached } = reaching.to(target);
      const kept = tails.map((tail) => tailEntries(tail, changes.poses[tail.figure]));
      return { patch: Object.assign({}, changeEntries(scene, changes), ...kept), reached };
    },
  };
}

/** An extra part by its tip: it turns about its root as far as such parts turn. */
function holdExtra(start: Shown, movable: Extract<Movable, { kind: 'extra' }>): Hold | null {
  const at = movableAt(start, movable);
  const posed = start.posed.get(movable.figure);
  const spec = posed?.body.spec.extras?.[movable.extra];
  const extra = posed?.body.extras.find(({ id }) => id === movable.extra);
  if (at === null || posed === undefined || spec === undefined || extra === undefined) return null;
  const parent = posed.segments[extra.parent];
  const key = figureKey(movable.figure, extraTurnField(movable.extra));
  return {
    at,
    stays: [],
    to: (target) => {
      const local = rotate(conjugate(parent.rotation), subtract(target, parent.position));
      const turn = turnTowards(extra, spec.turn ?? IDENTITY, local);
      return { patch: { [key]: { turn, curl: spec.curl ?? 0 } }, reached: true };
    },
  };
}

const stayWords = (planted: readonly Planted[]): string[] => [
  ...new Set(planted.map(plantedWords)),
];

const same = (a: unknown, b: unknown): boolean => JSON.stringify(a) === JSON.stringify(b);

/** The entries that change a scene in this way. */
export function changeEntries({ figures, loads }: Scene, changes: Changes): Patch {
  const patch: Record<string, unknown> = {};
  for (const { id, pose } of figures) {
    const after = changes.poses[id];
    if (after !== undefined) Object.assign(patch, poseEntries(id, pose, after));
  }
  for (const { id, place } of loads) {
    const after = changes.loads[id];
    if (after !== undefined && !same(place, after)) patch[loadKey(id, 'place')] = after;
  }
  return patch;
}

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

/** The settings that a patch may have: only a palm closes round a thing. */
export const settingsOf = (patch: PatchName): readonly ContactSetting[] =>
  CONTACT_SETTINGS.filter((setting) => setting !== 'gripping' || isPalm(patch));

const isPalm = (patch: PatchName): boolean => patch === 'palmL' || patch === 'palmR';

/** The setting that pressing a contact leads to: the next of its own, after the last auto again. */
export function nextSetting(figure: Figure, patch: PatchName): Patch {
  const order = settingsOf(patch);
  const next = order[order.indexOf(figure.contacts[patch] ?? 'auto') + 1];
  return { [contactKey(figure.id, patch)]: next };
}

/** The handle of a segment, where it has one. */
export const handleOf = (segment: string): Handle | undefined =>
  HANDLES.find((name) => name === segment);
