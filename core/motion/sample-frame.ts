import { assess, mainGroup } from '../balance/index.ts';
import { convexHull, type Vec2 } from '../geometry/index.ts';
import { facing, posedFigures, type Scene } from '../scene/index.ts';
import { pointMasses } from './angular-momentum.ts';
import { carryingParts } from './support-changes.ts';
import type { FrameSample } from './types.ts';

/**
 * Weighs one frame at rest and keeps what its motion needs.
 * @param wanted the figure whose group is weighed; the main group when left out
 * @throws RangeError when the scene has no such group
 */
export function sampleFrame(scene: Scene, frame: number, wanted: string | undefined): FrameSample {
  const report = assess(scene);
  const reading =
    wanted === undefined
      ? mainGroup(report)
      : report.groups.find(({ members }) => members.includes(wanted));
  if (reading === undefined)
    throw new RangeError(
      wanted === undefined
        ? `frame ${frame} holds nothing to weigh`
        : `frame ${frame} holds no figure ${wanted}`,
    );
  const members = new Set(reading.members);
  const contacts = report.contacts.filter(({ owner }) => members.has(owner));
  const posed = posedFigures(scene);
  let guide: string | null = null;
  let mass = Number.NEGATIVE_INFINITY;
  for (const { id, body } of scene.figures) {
    if (!members.has(id) || body.mass <= mass) continue;
    mass = body.mass;
    guide = id;
  }
  const figure = guide === null ? undefined : posed.get(guide);
  let floor: number | null = null;
  for (const { outline } of contacts)
    for (const [, y] of outline) if (floor === null || y < floor) floor = y;
  return {
    reading,
    parts: carryingParts(contacts),
    floor,
    forward: figure === undefined ? [0, 1] : facing(figure.segments.pelvis.rotation),
    footLength: figure?.body.footLength ?? null,
    stature: figure?.body.spec.stature ?? null,
    figure: guide,
    points: pointMasses(scene, reading.members, posed),
  };
}

/** Hull of the supports of some frames: what a stretch offers the pressure while it lasts. */
export function jointSupport(samples: readonly FrameSample[]): readonly Vec2[] {
  return convexHull(samples.flatMap(({ reading }) => reading.support.polygon)).vertices;
}
