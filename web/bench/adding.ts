import type { TableName } from '../../core/body/index.ts';
import type { CastBody, Thing } from '../../core/document/index.ts';
import { fromAxisAngle, IDENTITY, type Vec3 } from '../../core/geometry/index.ts';
import { restPose } from '../../core/pose/index.ts';
import {
  bodyOf,
  extentsOf,
  floorSurface,
  type LoadLook,
  type LoadPlace,
  type LoadShape,
  type SurfaceKind,
  type SurfaceParts,
} from '../../core/scene/index.ts';
import { wornOn } from './load-edit.ts';
import type { Shown } from './shown.ts';

/** New things for a scene, each placed where it can be seen and is of use at once. */

/** What can be added, in the order of the menu. */
export const LOAD_CHOICES = {
  ball: 'ball in both hands',
  box: 'box in both hands',
  pack: 'pack on the back',
  bag: 'bag in a hand',
  pole: 'long pole in both hands',
  basket: 'basket on the head',
  crate: 'box on the floor',
  drum: 'cylinder on the floor',
} as const;
export type LoadChoice = keyof typeof LOAD_CHOICES;

/** Loads that need nobody to carry them. */
export const onFloor = (choice: LoadChoice): boolean => choice === 'crate' || choice === 'drum';

export const SURFACE_CHOICES = {
  chair: 'chair',
  stool: 'stool',
  seat: 'seat',
  box: 'box',
  step: 'step',
  stair: 'stair',
  ledge: 'ledge',
  beam: 'beam',
  rope: 'rope line',
  wall: 'wall',
  slope: 'slope',
  rail: 'rail',
  table: 'table',
} as const satisfies Partial<Record<SurfaceKind, string>>;
export type SurfaceChoice = keyof typeof SURFACE_CHOICES;

/** Gap between a new figure and the ones that stand there, metres. */
const BESIDE = 0.8;

/** The next free name: "Figure 2" where "Figure 1" is taken. */
function freeName(word: string, taken: readonly { readonly name: string }[]): string {
  const names = new Set(taken.map(({ name }) => name));
  let number = 1;
  while (names.has(`${word} ${number}`)) number += 1;
  return `${word} ${number}`;
}

/**
 * A figure in quiet standing, beside the others on their left: with a body of the cast, or with one of
 * its own. Lengths in metres, mass in kilograms.
 */
export function newFigure(shown: Shown, id: string, cast?: CastBody): Thing {
  const table: TableName = 'deleva-female';
  const body = cast?.body ?? { table, stature: 1.68, mass: 62 };
  const xs = [...shown.posed.values()].map((posed) => posed.segments.pelvis.position[0]);
  const x = xs.length === 0 ? 0 : Math.max(...xs) + BESIDE;
  const pose = restPose(bodyOf(body));
  const position: Vec3 = [x, pose.position[1], pose.position[2]];
  const { figures } = shown.scene;
  const taken = figures.some(({ name }) => name === cast?.name);
  const name = cast === undefined || taken ? freeName(cast?.name ?? 'Figure', figures) : cast.name;
  const link = cast === undefined ? {} : { cast: { body: cast.id, own: [] } };
  return {
    kind: 'figure',
    value: { id, name, body, ...link, pose: { ...pose, position }, contacts: {} },
  };
}

interface NewLoad {
  readonly word: string;
  readonly shape: LoadShape;
  readonly mass: number;
  readonly look?: LoadLook;
}

/** Everyday sizes (metres) and masses (kilograms), our choice, no source: something to start from. */
const LOADS: Readonly<Record<LoadChoice, NewLoad>> = {
  ball: { word: 'Ball', shape: { kind: 'ball', radius: 0.12 }, mass: 4 },
  box: { word: 'Box', shape: { kind: 'box', size: [0.36, 0.26, 0.3] }, mass: 8 },
  pack: { word: 'Pack', shape: { kind: 'box', size: [0.34, 0.52, 0.24] }, mass: 12, look: 'pack' },
  bag: { word: 'Bag', shape: { kind: 'box', size: [0.16, 0.34, 0.38] }, mass: 6, look: 'bag' },
  pole: { word: 'Pole', shape: { kind: 'cylinder', radius: 0.02, length: 3 }, mass: 5 },
  basket: {
    word: 'Basket',
    shape: { kind: 'cylinder', radius: 0.22, length: 0.24 },
    mass: 7,
    look: 'basket',
  },
  crate: { word: 'Crate', shape: { kind: 'box', size: [0.45, 0.35, 0.35] }, mass: 15 },
  drum: { word: 'Cylinder', shape: { kind: 'cylinder', radius: 0.2, length: 0.6 }, mass: 20 },
};

/** A load of a kind, on `figure` where it is carried. */
export function newLoad(shown: Shown, id: string, choice: LoadChoice, figure: string): Thing {
  const { word, ...load } = LOADS[choice];
  const name = freeName(word, shown.scene.loads);
  const place = placeOf(shown, choice, figure);
  return { kind: 'load', value: { id, name, ...load, place } };
}

/** A pole lies across the body: its own +y to the figure's left. */
const ACROSS = fromAxisAngle([0, 0, 1], -Math.PI / 2);

function placeOf(shown: Shown, choice: LoadChoice, figure: string): LoadPlace {
  const { shape } = LOADS[choice];
  const posed = shown.posed.get(figure);
  if (onFloor(choice) || posed === undefined) {
    const at = posed?.segments.pelvis.position ?? [0, 0, 0];
    const half = extentsOf(shape)[1] / 2;
    return { kind: 'standing', position: [at[0], half, at[2] + 0.6], rotation: IDENTITY };
  }
  if (choice === 'pack' || choice === 'basket') {
    return wornOn(shown, figure, choice === 'pack' ? 'chest' : 'head', shape)!;
  }
  if (choice === 'bag') {
    // It hangs from the hand by its handle.
    const hang = -extentsOf(shape)[1] / 2 - 0.06;
    return { kind: 'held', figure, hands: 'right', offset: [0, hang, 0] };
  }
  const turned = choice === 'pole' ? { rotation: ACROSS } : {};
  return { kind: 'held', figure, hands: 'both', offset: [0, 0, 0], ...turned };
}

interface NewSurface {
  readonly size: Vec3;
  /** How far in front of the first figure its middle is, metres. */
  readonly ahead: number;
  /** Height of its underside, metres; left out: on the floor. */
  readonly up?: number;
  readonly slope?: number;
  readonly parts?: SurfaceParts;
}

/** Shoes on whatever it is, our choice, no source; pairs with sources are set by hand. */
const NEW_FRICTION = 0.7;

/** Everyday sizes, metres, our choice, no source: something to start from. */
const SURFACES: Readonly<Record<SurfaceChoice, NewSurface>> = {
  chair: { size: [0.46, 0.45, 0.44], ahead: -0.55, parts: { back: 0.45, arms: 0.2 } },
  stool: { size: [0.36, 0.46, 0.36], ahead: -0.5 },
  seat: { size: [0.45, 0.45, 0.42], ahead: -0.55 },
  box: { size: [0.5, 0.4, 0.5], ahead: 0.7 },
  step: { size: [0.8, 0.17, 0.3], ahead: 0.45 },
  stair: { size: [1, 0.68, 1.12], ahead: 0.85, parts: { steps: 4 } },
  ledge: { size: [1.2, 0.6, 0.8], ahead: 1.1 },
  beam: { size: [0.095, 0.1, 2], ahead: 0 },
  rope: { size: [0.025, 0.025, 4], ahead: 0, up: 0.5 },
  wall: { size: [1.6, 2, 0.1], ahead: 0.8 },
  slope: { size: [1.4, 0.1, 2], ahead: 0.9, up: 0.2, slope: -12 },
  rail: { size: [1.6, 0.05, 0.05], ahead: 0.4, up: 0.95 },
  table: { size: [1.2, 0.74, 0.7], ahead: 0.75 },
};

/** A surface of a kind, in front of the figures or under them as its use is. */
export function newSurface(shown: Shown, id: string, choice: SurfaceChoice): Thing {
  const { size, ahead, up = 0, slope = 0, parts } = SURFACES[choice];
  const position: Vec3 = [0, up + size[1] / 2, ahead];
  const word = SURFACE_CHOICES[choice].replace(/^./, (letter) => letter.toUpperCase());
  const value = {
    id,
    name: freeName(word, shown.scene.surfaces),
    kind: choice,
    position,
    rotation: fromAxisAngle([1, 0, 0], (slope * Math.PI) / 180),
    size,
    friction: NEW_FRICTION,
    ...(parts === undefined ? {} : { parts }),
  };
  return { kind: 'surface', value };
}

/** The level floor, for a scene without one. */
export const newFloor = (id: string): Thing => ({
  kind: 'surface',
  value: { ...floorSurface(), id },
});

/** A fresh id for a thing; ids stand between slashes in keys. */
export const freshId = (): string => crypto.randomUUID().slice(0, 8);
