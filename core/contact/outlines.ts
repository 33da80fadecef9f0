import { type Body, PATCHES, type PatchName, type SegmentName } from '../body/index.ts';
import { distance, dot, length, lerp, subtract, type Vec3 } from '../geometry/index.ts';

/** A patch of a body, made ready to be laid on surfaces. Segment frame, metres. */
export interface PatchOutline {
  readonly name: PatchName;
  readonly segment: SegmentName;
  readonly normal: Vec3;
  readonly outline: readonly Vec3[];
  /**
   * The part that can really carry: the body's own where it gives one, the whole patch where no source
   * says otherwise, and none for toes, whose share hangs on the sole.
   */
  readonly functional: readonly Vec3[];
  /** Farthest vertex of the outline from the segment's joint. */
  readonly reach: number;
}

/**
 * Measured outlines come with more vertices than their accuracy deserves (the functional foot has 53).
 * Vertices are dropped as long as none lay farther than this from the outline that is left, metres;
 * what is left lies inside the measured one.
 */
const THIN = 0.0005;

const prepared = new WeakMap<Body, readonly PatchOutline[]>();

/** The patches that a body has, in the order of PATCHES; made once for a body. */
export function patchOutlines(body: Body): readonly PatchOutline[] {
  const known = prepared.get(body);
  if (known !== undefined) return known;
  const had = PATCHES.filter((name) => body.patches[name].outline.length > 0);
  const made = had.map((name): PatchOutline => {
    const { segment, normal, outline, functional } = body.patches[name];
    const reach = outline.reduce((most, point) => Math.max(most, length(point)), 0);
    const part = functional ?? (isToes(name) ? [] : outline);
    return { name, segment, normal, outline, functional: thinned(part), reach };
  });
  prepared.set(body, made);
  return made;
}

const isToes = (name: PatchName): boolean => name === 'toesL' || name === 'toesR';

/** Keeps the first vertex, then from each the farthest next one that still passes close to all between. */
export function thinned(outline: readonly Vec3[]): readonly Vec3[] {
  if (outline.length < 4) return outline;
  const closed = [...outline, outline[0]!];
  const kept: Vec3[] = [];
  for (let i = 0; i < outline.length; ) {
    kept.push(closed[i]!);
    let next = i + 1;
    while (next < outline.length && passesClose(closed, i, next + 1)) next++;
    i = next;
  }
  return kept;
}

function passesClose(points: readonly Vec3[], from: number, to: number): boolean {
  const a = points[from]!;
  const b = points[to]!;
  const along = subtract(b, a);
  const square = dot(along, along);
  if (square === 0) return false;
  return points.slice(from + 1, to).every((point) => {
    const share = dot(subtract(point, a), along) / square;
    return distance(point, lerp(a, b, share)) <= THIN;
  });
}
