import type { SegmentName } from '../../body/index.ts';
import { add, scale, type Vec3 } from '../../geometry/index.ts';
import { type Pose, pointOn, solveReach } from '../../pose/index.ts';
import { type GripEnd, handsOf, type Load, type Scene } from '../../scene/index.ts';
import { holdPoint, type Situation, situationOf } from '../ways-back/situation.ts';
import type { Changes } from '../ways-back/types.ts';
import { stayingWith } from './handles.ts';
import type { Handle, ReachSettings } from './types.ts';

/** What a grip ties to a dragged part: parts of another figure, or a load that stands by itself. */
export interface Followers {
  readonly figures: readonly Follower[];
  readonly loads: readonly Load[];
}

interface Follower {
  readonly situation: Situation;
  readonly parts: readonly Led[];
  /** The answer of the last frame. */
  from: Pose | undefined;
}

/** A part that goes along. */
interface Led {
  readonly segment: SegmentName;
  readonly point: Vec3;
  /** Parts of the dragged figure whose way it goes; none: the way of what is dragged. */
  readonly by: readonly SegmentName[];
}

/** Hands of the figure that holds a load. */
export const holdingHands = ({ place }: Load): readonly ('handL' | 'handR')[] =>
  handsOf(place).map((side) => `hand${side}` as const);

/**
 * Everything that goes along with dragged parts of a figure, by closed grips, but those who hang on dragged
 * parts alone: they are carried along as they are (`withPose`).
 */
export function followersOf(
  scene: Scene,
  { figure: { id: figure }, hanging }: Situation,
  dragged: readonly Handle[],
): Followers {
  const isIn = (segment: SegmentName): boolean =>
    (dragged as readonly SegmentName[]).includes(segment);
  const held = scene.loads.filter(
    (load) =>
      load.place.kind === 'held' &&
      load.place.figure === figure &&
      holdingHands(load).some((hand) => dragged.includes(hand)),
  );
  const isDragged = (end: GripEnd): boolean =>
    end.kind === 'load'
      ? held.some(({ id }) => id === end.load)
      : end.figure === figure && isIn(end.segment);
  const parts = new Map<string, Set<SegmentName>>();
  const loads = new Set<Load>();
  const also = (id: string, segment: SegmentName): void => {
    if (id !== figure) parts.set(id, (parts.get(id) ?? new Set()).add(segment));
  };
  for (const { a, b, open } of scene.grips) {
    if (open || isDragged(a) === isDragged(b)) continue;
    const other = isDragged(a) ? b : a;
    if (other.kind === 'figure') also(other.figure, other.segment);
    const load = other.kind === 'load' ? scene.loads.find(({ id }) => id === other.load) : null;
    if (load?.place.kind === 'standing') loads.add(load);
    if (load?.place.kind === 'held')
      for (const hand of holdingHands(load)) also(load.place.figure, hand);
  }
  const figures = [...parts].flatMap(([id, segments]): Follower[] => {
    const grips = hanging.find((one) => one.figure.id === id)?.grips ?? [];
    if (grips.length > 0 && grips.every(({ mine }) => isIn(mine))) return [];
    const situation = situationOf(scene, id);
    const led = grips.length > 0 ? new Set(grips.map(({ theirs }) => theirs)) : segments;
    const own = [...led].map((segment): Led => {
      const by = grips.filter(({ theirs }) => theirs === segment).map(({ mine }) => mine);
      return { segment, point: holdPoint(situation.body, segment), by };
    });
    return [{ situation, parts: own, from: undefined }];
  });
  return { figures, loads: [...loads] };
}

/**
 * The followers moved by `way`, and what hangs on several parts by theirs; says whether all of them could
 * go along.
 * @param wayOf how far a part of the dragged figure has come
 */
export function follow(
  { figures, loads }: Followers,
  way: Vec3,
  wayOf: (segment: SegmentName) => Vec3,
  { locks }: ReachSettings,
): { readonly changes: Changes; readonly reached: boolean } {
  const poses: Record<string, Pose> = {};
  const places: Record<string, Load['place']> = {};
  let reached = true;
  for (const follower of figures) {
    const { body, figure, posed, planted } = follower.situation;
    const handles = follower.parts.map(({ segment }) => segment as Handle);
    const result = solveReach(body, figure.pose, {
      goals: follower.parts.map(({ segment, point, by }) => ({
        ...{ segment, point },
        target: add(
          pointOn(posed, segment, point),
          by.length === 0 ? way : scale(by.map(wayOf).reduce(add), 1 / by.length),
        ),
      })),
      planted: stayingWith(planted, handles),
      locks: locks?.[figure.id] ?? [],
      ...(follower.from ? { from: follower.from } : {}),
    });
    follower.from = result.pose;
    reached &&= result.residual_m <= 5e-4;
    poses[figure.id] = result.pose;
  }
  for (const { id, place } of loads) {
    if (place.kind === 'standing') places[id] = { ...place, position: add(place.position, way) };
  }
  return { changes: { poses, loads: places }, reached };
}
