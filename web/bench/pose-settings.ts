import type { ReachSettings } from '../../core/balance/index.ts';
import type { SegmentName } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';

/** Which way a drag goes: with the pointer in the plane of the page, or along one direction. */
export const WAYS = ['page', 'left', 'up', 'ahead'] as const;
export type DragWay = (typeof WAYS)[number];

export const WAY_WORDS: Readonly<Record<DragWay, string>> = {
  page: 'any way',
  left: 'left and right',
  up: 'up and down',
  ahead: 'ahead and back',
};

const AXES: Readonly<Record<Exclude<DragWay, 'page'>, Vec3>> = {
  left: [1, 0, 0],
  up: [0, 1, 0],
  ahead: [0, 0, 1],
};

export const axisOf = (way: DragWay): Vec3 | null => (way === 'page' ? null : AXES[way]);

/** Keys that hold a drag to one direction while they are down. */
export const WAY_KEYS: Readonly<Record<string, DragWay>> = { x: 'left', y: 'up', z: 'ahead' };

/**
 * How a person poses: their own tools, as long as the page is open; nobody else sees them. Replaced,
 * never changed.
 */
export interface PoseSettings {
  readonly way: DragWay;
  readonly keepPlumb: boolean;
  /** Segments above which the joint is locked, by figure; the pelvis stands for the hips. */
  readonly locks: Readonly<Record<string, readonly SegmentName[]>>;
}

export const PLAIN: PoseSettings = { way: 'page', keepPlumb: false, locks: {} };

export const reachSettings = ({ keepPlumb, locks }: PoseSettings): ReachSettings =>
  keepPlumb ? { keep: 'here', locks } : { locks };

export const isLocked = ({ locks }: PoseSettings, figure: string, segment: SegmentName): boolean =>
  locks[figure]?.includes(segment) ?? false;

/** The settings with a joint locked, or free again. */
export function withLock(
  settings: PoseSettings,
  figure: string,
  segment: SegmentName,
  locked: boolean,
): PoseSettings {
  const others = (settings.locks[figure] ?? []).filter((name) => name !== segment);
  const own = locked ? [...others, segment] : others;
  return { ...settings, locks: { ...settings.locks, [figure]: own } };
}

const HINT = 'counterlean-posing-hint';

/** What a person who has never posed here is told, once; gone with the first drag. */
export const FIRST_HINT =
  'Drag a hand, a foot, a knee or the hips: what is planted stays. Arrow keys do it too.';

export const hintSeen = (): boolean => localStorage.getItem(HINT) !== null;
export const markHintSeen = (): void => localStorage.setItem(HINT, 'seen');
