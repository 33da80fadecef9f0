import { type Body, type BodySpec, buildBody } from '../body/index.ts';
import {
  add,
  applyTransform,
  multiply,
  rotate,
  type Transform,
  type Vec3,
} from '../geometry/index.ts';
import { type PosedFigure, palmCentre, poseFigure } from '../pose/index.ts';
import { facing, headingTurn } from './facing.ts';
import type { Load, LoadPlace, Scene } from './types.ts';

// Bodies do not change while they are posed; `buildBody` keeps them by content, and this spares the
// look-up for the scene that is weighed again and again.
const bySpec = new WeakMap<BodySpec, Body>();

/** The built body of a spec. Throws RangeError like `buildBody`. */
export function bodyOf(spec: BodySpec): Body {
  const known = bySpec.get(spec);
  if (known !== undefined) return known;
  const body = buildBody(spec);
  bySpec.set(spec, body);
  return body;
}

/** Every figure of a scene in the world, keyed by its id. */
export function posedFigures(scene: Scene): Map<string, PosedFigure> {
  const posed = new Map<string, PosedFigure>();
  for (const figure of scene.figures)
    posed.set(figure.id, poseFigure(bodyOf(figure.body), figure.pose));
  return posed;
}

/**
 * Where every load is in the world, keyed by its id: its centre and its turn. A load on a figure
 * that is not in the scene is left out.
 */
export function loadTransforms(
  scene: Scene,
  posed: ReadonlyMap<string, PosedFigure>,
): Map<string, Transform> {
  const placed = new Map<string, Transform>();
  for (const load of scene.loads) {
    const transform = placeLoad(load.place, posed);
    if (transform !== null) placed.set(load.id, transform);
  }
  return placed;
}

function placeLoad(place: LoadPlace, posed: ReadonlyMap<string, PosedFigure>): Transform | null {
  if (place.kind === 'standing') return { position: place.position, rotation: place.rotation };
  const figure = posed.get(place.figure);
  if (figure === undefined) return null;
  if (place.kind === 'attached') {
    const segment = figure.segments[place.segment];
    return {
      position: applyTransform(segment, place.offset),
      rotation: multiply(segment.rotation, place.rotation),
    };
  }
  const chest = figure.segments.chest;
  const heading = headingTurn(facing(chest.rotation));
  return {
    position: add(palms(figure, place.hands), rotate(chest.rotation, place.offset)),
    rotation: place.rotation === undefined ? heading : multiply(heading, place.rotation),
  };
}

function palms(figure: PosedFigure, hands: 'both' | 'left' | 'right'): Vec3 {
  if (hands === 'left') return palmCentre(figure, 'L');
  if (hands === 'right') return palmCentre(figure, 'R');
  const left = palmCentre(figure, 'L');
  const right = palmCentre(figure, 'R');
  return [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2, (left[2] + right[2]) / 2];
}

/** Mass centre of a load that is placed in the world. */
export const massCentre = ({ centre }: Pick<Load, 'centre'>, at: Transform): Vec3 =>
  centre === undefined ? at.position : applyTransform(at, centre);

/** The placed loads with their mass centres for places. */
export function weightTransforms(
  { loads }: Pick<Scene, 'loads'>,
  placed: ReadonlyMap<string, Transform>,
): ReadonlyMap<string, Transform> {
  if (loads.every(({ centre }) => centre === undefined)) return placed;
  const moved = new Map(placed);
  for (const load of loads) {
    const at = placed.get(load.id);
    if (at !== undefined && load.centre !== undefined)
      moved.set(load.id, { ...at, position: massCentre(load, at) });
  }
  return moved;
}
