import { type BalanceReport, endPoint, gripPoint } from '../../core/balance/index.ts';
import { type Note, type Pin, pinnedGroup } from '../../core/document/index.ts';
import { add, lerp, scale, type Vec2, type Vec3 } from '../../core/geometry/index.ts';
import { pointOn } from '../../core/pose/index.ts';
import { facing, type GripEnd, type Scene } from '../../core/scene/index.ts';
import type { Shown } from './shown.ts';

/** A note's flag on the drawing. */
export interface PinnedNote {
  readonly note: Note;
  /** Number that the notes panel gives it too. */
  readonly number: number;
  /** Where it points, in the world; null when its thing is not in the scene. */
  readonly at: Vec3 | null;
}

const middle = (points: readonly Vec3[]): Vec3 | null => {
  const sum = points.reduce<Vec3>((all, point) => add(all, point), [0, 0, 0]);
  return points.length === 0 ? null : scale(sum, 1 / points.length);
};

/**
 * Where a pin points now: pins follow their thing. Null for what has no place of its own in the scene
 * (the whole shot, frames, a point of a picture) and for lost things.
 */
export function pinPoint(shown: Shown, pin: Pin): Vec3 | null {
  const { posed, placed, report, scene } = shown;
  switch (pin.kind) {
    case 'shot':
    case 'frames':
    case 'reference':
      return null;
    case 'point':
      return pin.point;
    case 'joint':
      return posed.get(pin.figure)?.segments[pin.segment].position ?? null;
    case 'segment': {
      const figure = posed.get(pin.figure);
      if (figure === undefined) return null;
      const tip = pointOn(figure, pin.segment, figure.body.segments[pin.segment].end);
      return lerp(figure.segments[pin.segment].position, tip, 0.5);
    }
    case 'load':
      return placed.get(pin.load)?.position ?? null;
    case 'grip': {
      const grip = scene.grips.find(({ id }) => id === pin.grip);
      if (grip === undefined) return null;
      const [a, b] = [gripEndPoint(shown, grip.a), gripEndPoint(shown, grip.b)];
      return a === null || b === null ? (a ?? b) : gripPoint(grip, shown);
    }
    case 'contact': {
      const contact = report.contacts.find(({ id }) => id === pin.contact);
      return contact === undefined ? null : middle(contact.outline);
    }
    case 'edge':
      return posed.has(pin.figure) ? edgePoint(shown, pin) : null;
    case 'plumb': {
      if (!posed.has(pin.figure)) return null;
      const centre = pinnedGroup(pin, scene, report)?.centre ?? null;
      return centre === null ? null : [centre[0], centre[1] * 0.4, centre[2]];
    }
  }
}

/** Where one end of a grip is, as it is weighed; null when its thing is not there (any more). */
export function gripEndPoint(shown: Shown, end: GripEnd): Vec3 | null {
  const there = end.kind === 'load' ? shown.placed.has(end.load) : shown.posed.has(end.figure);
  return there ? endPoint(end, shown) : null;
}

/** Where a line from the middle of the support to one side of a figure leaves it. */
function edgePoint(
  { posed, report, scene }: Shown,
  pin: Extract<Pin, { kind: 'edge' }>,
): Vec3 | null {
  const polygon = pinnedGroup(pin, scene, report)?.support.polygon ?? [];
  const pelvis = posed.get(pin.figure)?.segments.pelvis;
  if (polygon.length === 0 || pelvis === undefined) return null;
  const [fx, fz] = facing(pelvis.rotation);
  // The left of one who faces +z is +x.
  const ways = { front: [fx, fz], back: [-fx, -fz], left: [fz, -fx], right: [-fz, fx] } as const;
  const way = ways[pin.side];
  const from: Vec2 = [
    polygon.reduce((sum, [x]) => sum + x, 0) / polygon.length,
    polygon.reduce((sum, [, z]) => sum + z, 0) / polygon.length,
  ];
  // The middle lies inside a convex polygon, so the nearest crossing ahead is the way out.
  let out = Number.POSITIVE_INFINITY;
  for (const [i, [ax, az]] of polygon.entries()) {
    const [bx, bz] = polygon[(i + 1) % polygon.length]!;
    const across = way[0] * (bz - az) - way[1] * (bx - ax);
    if (across === 0) continue;
    const along = ((ax - from[0]) * (bz - az) - (az - from[1]) * (bx - ax)) / across;
    const share = ((ax - from[0]) * way[1] - (az - from[1]) * way[0]) / across;
    if (along >= 0 && share >= 0 && share <= 1) out = Math.min(out, along);
  }
  const reach = Number.isFinite(out) ? out : 0;
  return [from[0] + way[0] * reach, 0, from[1] + way[1] * reach];
}

/**
 * Why a pin points nowhere in what is shown, e.g. "the load is not in this draft"; null where it does.
 * @param pictures views behind which the draft has a reference
 */
export function pinGone(
  scene: Scene,
  report: BalanceReport,
  pin: Pin,
  pictures: ReadonlySet<string>,
): string | null {
  const has = (id: string): boolean => scene.figures.some((figure) => figure.id === id);
  const figure = (id: string): string | null =>
    has(id) ? null : 'the figure is not in this draft';
  switch (pin.kind) {
    case 'joint':
    case 'segment':
    case 'plumb':
    case 'edge':
      return figure(pin.figure);
    case 'load':
      return scene.loads.some(({ id }) => id === pin.load) ? null : 'the load is not in this draft';
    case 'grip': {
      const grip = scene.grips.find(({ id }) => id === pin.grip);
      if (grip === undefined) return 'the grip is not in this draft';
      return grip.open ? 'the grip is let go here' : null;
    }
    case 'contact': {
      const [owner = ''] = pin.contact.split('/');
      const there = has(owner) || scene.loads.some(({ id }) => id === owner);
      if (!there) return 'what touched is not in this draft';
      return report.contacts.some(({ id }) => id === pin.contact) ? null : 'it does not touch here';
    }
    case 'reference':
      return pictures.has(pin.view) ? null : 'the reference is not in this draft';
    default:
      return null;
  }
}
