import type { PatchName } from '../../core/body/index.ts';
import { contactKey, type Thing } from '../../core/document/index.ts';
import {
  bodyOf,
  type Figure,
  loadsOn,
  poseAt,
  type StartPose,
  spotOf,
  surfacesAt,
} from '../../core/scene/index.ts';
import { freshId } from './adding.ts';
import { type Patch, poseEntries } from './movables.ts';
import type { Shown } from './shown.ts';

/** Parts whose contacts say how high the ground of a figure is. */
const GROUND = /^(sole|toes|knee)/;

/** The spot of a figure as it stands now: under it, at the height of what carries its feet or knees. */
export function groundSpot({ report }: Shown, figure: Figure) {
  const heights = report.contacts
    .filter(({ owner, patch }) => owner === figure.id && GROUND.test(patch))
    .flatMap(({ outline }) => outline.map((point) => point[1]));
  const height = heights.length === 0 ? 0 : Math.min(...heights);
  return spotOf(bodyOf(figure.body), figure.pose, height);
}

/** What a start pose changes on a figure, which keeps its place and body; and what it needs beside it. */
export function startOn(
  shown: Shown,
  figure: Figure,
  start: StartPose,
): { readonly patch: Patch; readonly things: readonly Thing[] } {
  const made = start.make(bodyOf(figure.body));
  const spot = groundSpot(shown, figure);
  const settings: Record<string, unknown> = {};
  for (const patch of new Set([...Object.keys(figure.contacts), ...Object.keys(made.contacts)])) {
    const name = patch as PatchName;
    settings[contactKey(figure.id, name)] = made.contacts[name];
  }
  return {
    patch: { ...poseEntries(figure.id, figure.pose, poseAt(made, spot)), ...settings },
    things: [
      ...surfacesAt(made, spot, freshId).map((value): Thing => ({ kind: 'surface', value })),
      ...loadsOn(made, figure.id, freshId).map((value): Thing => ({ kind: 'load', value })),
    ],
  };
}

/** What a start pose needs, in words: "Chair", "12 kg Crate"; empty for most. */
export function needWords(start: StartPose, figure: Figure): string {
  const { surfaces, loads } = start.make(bodyOf(figure.body));
  return [
    ...surfaces.map(({ name }) => name.toLowerCase()),
    ...loads.map(({ name, mass }) => `${name.toLowerCase()} of ${mass} kg`),
  ].join(' and ');
}
