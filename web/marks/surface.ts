import type { Mark, MarkKind, MarkView, PictureView, Stroke } from '../../core/document/index.ts';
import { dot, type Vec3 } from '../../core/geometry/index.ts';
import type { Eye } from '../bench/camera.ts';
import type { Looking } from '../bench/looking.ts';
import type { SeenPicture } from '../bench/pictures/seen-picture.ts';
import { floorAt, planAt } from '../bench/plan-space.ts';

/** A place of the page, CSS pixels. */
export interface Spot {
  readonly x: number;
  readonly y: number;
}

/** A drawing that marks lie on. */
export interface MarkSurface {
  readonly view: MarkView;
  /** Of the free view, towards the viewer; null elsewhere. */
  readonly towards: Vec3 | null;
  /** The reference that is seen there. */
  readonly picture: SeenPicture | null;
  project(point: Vec3): Spot;
  /** The point of the scene under a place, in the plane that marks are drawn in. */
  unproject(spot: Spot): Vec3;
}

/** What gives the points of a mark their places of the page. */
export type Projector = Pick<MarkSurface, 'project' | 'unproject'>;

/** Marks of these kinds say something of what is drawn there: over a reference they belong to it. */
const OF_PICTURES: readonly string[] = ['ink', 'line', 'arrow'] satisfies MarkKind[];

/** The reference that a mark of a kind lies on when it is drawn now; measures are of the scene. */
export const referenceOf = (kind: string, { picture }: MarkSurface): PictureView | null =>
  OF_PICTURES.includes(kind) ? (picture?.view ?? null) : null;

/** Where the points of marks on a reference lie, or of those in the scene where `reference` is null. */
export function projectorOf(surface: MarkSurface, reference: PictureView | null): Projector {
  const { picture } = surface;
  if (reference === null || picture?.view !== reference) return surface;
  return {
    project: ([across, down]) => picture.toSheet([across, down]),
    unproject: (spot) => [...picture.fromSheet(spot), 0],
  };
}

/** @param through a point of the plane, facing the viewer, in which marks lie: the figures' own */
export const elevationSurface = (
  eye: Eye,
  through: Vec3,
  picture: SeenPicture | null = null,
): MarkSurface => ({
  picture,
  view: eye.view === 'orbit' ? 'free' : eye.view,
  towards: eye.view === 'orbit' ? eye.towards : null,
  project: (point) => eye.project(point),
  unproject: ({ x, y }) => eye.unproject(x, y, through),
});

export const planSurface = (looking: Looking): MarkSurface => ({
  view: 'plan',
  towards: null,
  picture: null,
  project: ([x, , z]) => planAt(looking, [x, z]),
  unproject: ({ x, y }) => floorAt(looking, x, y),
});

/** A mark of the free view is seen while the camera is turned from its own way less than 20 degrees. */
const NEAR_ENOUGH = Math.cos((20 * Math.PI) / 180);

/** Whether a mark belongs on a drawing at a frame. */
export function isSeen(
  mark: Mark | Stroke,
  surface: MarkSurface,
  at: { readonly draft: string; readonly frame: number | null },
): boolean {
  if (mark.draft !== at.draft || mark.frame !== at.frame) return false;
  if (mark.reference !== null && mark.reference !== surface.picture?.view) return false;
  if (mark.view === 'every') return surface.view !== 'plan';
  if (mark.view !== surface.view) return false;
  if (mark.view !== 'free') return true;
  if (mark.towards === null || surface.towards === null) return false;
  return dot(mark.towards, surface.towards) >= NEAR_ENOUGH;
}

/** Points of a stroke that travel while it is drawn: a presence has little room, and goes out often. */
const TRAVELLING = 300;

/** The stroke with every so many-th of its points left, so that a long one fits into a presence. */
export function thinned(stroke: Stroke, most = TRAVELLING): Stroke {
  const count = stroke.points.length / 4;
  if (count <= most) return stroke;
  const every = Math.ceil(count / most);
  const points = stroke.points.filter((_, i) => {
    const point = Math.floor(i / 4);
    return point % every === 0 || point === count - 1;
  });
  return { ...stroke, points };
}
