import { type BalanceReport, mainGroup } from '../../core/balance/index.ts';
import { figureKey } from '../../core/document/index.ts';
import { applyTransform, type Transform, type Vec2, type Vec3 } from '../../core/geometry/index.ts';
import type { PosedFigure } from '../../core/pose/index.ts';
import {
  boxesOf,
  extentsOf,
  loadTransforms,
  posedFigures,
  type Scene,
} from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import type { Extent, PlanBox } from './camera.ts';

/** What the bench shows at one moment; every part of it reads the same one. */
export interface Shown {
  readonly scene: Scene;
  readonly report: BalanceReport;
  /** Figures in the world, by id. */
  readonly posed: ReadonlyMap<string, PosedFigure>;
  /** Loads in the world, by id. */
  readonly placed: ReadonlyMap<string, Transform>;
  /** The readings are hidden for a call: that the report is empty says nothing. */
  readonly hidden: boolean;
}

export function show(scene: Scene, report: BalanceReport, hidden = false): Shown {
  const posed = posedFigures(scene);
  return { scene, report, posed, placed: loadTransforms(scene, posed), hidden };
}

/** Where a standing person would be, for an empty scene. */
export const NOBODY: Extent = {
  min: [-0.5, 0, -0.4],
  max: [0.5, 1.7, 0.4],
  footing: { from: [-0.2, -0.2], to: [0.2, 0.2] },
  heart: [0, 0.9, 0],
};

/** How far a part reaches beyond its joint, about, metres. */
const FLESH = 0.1;
/** A pole or a wall is looked at no further than this from its middle, metres. */
const REACH = 0.7;

/** The box round everything that has an extent; a standing person's where the scene is empty. */
export function extentOf({ scene, posed, placed, report }: Shown): Extent {
  const points: Vec3[] = [];
  const around = (point: Vec3, by: Vec3): void => {
    points.push([point[0] - by[0], point[1] - by[1], point[2] - by[2]]);
    points.push([point[0] + by[0], point[1] + by[1], point[2] + by[2]]);
  };
  for (const figure of posed.values()) {
    for (const [name, { position }] of Object.entries(figure.segments)) {
      const rise = name === 'head' ? figure.body.segments.head.end[1] : FLESH;
      around(position, [FLESH, rise, FLESH]);
    }
    for (const { parent, links } of figure.body.extras) {
      for (const { at } of links)
        around(applyTransform(figure.segments[parent], at.position), [FLESH, FLESH, FLESH]);
    }
  }
  for (const load of scene.loads) {
    const place = placed.get(load.id);
    if (place === undefined) continue;
    const reach = Math.min(Math.hypot(...extentsOf(load.shape)) / 2, REACH);
    around(place.position, [reach, reach, reach]);
  }
  for (const { size, position } of scene.surfaces.flatMap(boxesOf)) {
    // A long wall or deck would shrink the figures: only what is near matters.
    around(position, size.map((extent) => Math.min(extent / 2, REACH)) as unknown as Vec3);
  }
  for (const { plumb } of report.groups) {
    if (plumb !== null) around([plumb[0], 0, plumb[1]], [0.1, 0, 0.1]);
  }
  if (points.length === 0) {
    return NOBODY;
  }
  const fold = (pick: (a: number, b: number) => number): Vec3 =>
    points.reduce<Vec3>(
      (a, b) => [pick(a[0], b[0]), pick(a[1], b[1]), pick(a[2], b[2])],
      points[0]!,
    );
  const min = fold(Math.min);
  const max = fold(Math.max);
  const middle: Vec3 = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2];
  return { min, max, footing: footingOf(report), heart: mainGroup(report)?.centre ?? middle };
}

/** The rectangle that holds all supports and plumb points. */
function footingOf({ groups, contacts }: BalanceReport): PlanBox {
  const points = groups.flatMap(({ support, plumb }) => [
    // One without an end is drawn up to the sheet's edge.
    ...(support.unbounded === true
      ? contacts.flatMap(({ outline }) => outline.map(([x, , z]): Vec2 => [x, z]))
      : support.polygon),
    ...(plumb === null ? [] : [plumb]),
  ]);
  if (points.length === 0) return NOBODY.footing;
  const fold = (pick: (...values: number[]) => number): Vec2 => [
    pick(...points.map(([x]) => x)),
    pick(...points.map(([, z]) => z)),
  ];
  return { from: fold(Math.min), to: fold(Math.max) };
}

/** Figures that are not the draft's own: they follow its clip, and nothing about them can be set. */
export const clipFigures = ({ scene, entries }: LiveDraft): ReadonlySet<string> =>
  new Set(scene.figures.map(({ id }) => id).filter((id) => !entries.has(figureKey(id))));
