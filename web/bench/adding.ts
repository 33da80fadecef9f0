import type { TableName } from '../../core/body/index.ts';
import type { Thing } from '../../core/document/index.ts';
import { IDENTITY, type Vec3 } from '../../core/geometry/index.ts';
import { restPose } from '../../core/pose/index.ts';
import {
  bodyOf,
  type LoadPlace,
  type LoadShape,
  type SurfaceKind,
} from '../../core/scene/index.ts';
import type { Shown } from './shown.ts';

/** New things for a scene, each placed where it can be seen and is of use at once. */

/** What can be added, in the order of the menu. */
export const LOAD_CHOICES = {
  ball: 'ball in both hands',
  box: 'box in both hands',
  pack: 'pack on the back',
  crate: 'box on the floor',
} as const;
export type LoadChoice = keyof typeof LOAD_CHOICES;

export const SURFACE_CHOICES = {
  box: 'box',
  step: 'step',
  seat: 'seat',
  ledge: 'ledge',
  beam: 'beam',
  wall: 'wall',
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

/** A figure in quiet standing, beside the others on their left. Lengths in metres, mass in kilograms. */
export function newFigure(shown: Shown, id: string): Thing {
  const table: TableName = 'deleva-female';
  const body = { table, stature: 1.68, mass: 62 };
  const xs = [...shown.posed.values()].map((posed) => posed.segments.pelvis.position[0]);
  const x = xs.length === 0 ? 0 : Math.max(...xs) + BESIDE;
  const pose = restPose(bodyOf(body));
  const position: Vec3 = [x, pose.position[1], pose.position[2]];
  const name = freeName('Figure', shown.scene.figures);
  return { kind: 'figure', value: { id, name, body, pose: { ...pose, position }, contacts: {} } };
}

/** A load of a kind, on `figure` where it is carried. */
export function newLoad(shown: Shown, id: string, choice: LoadChoice, figure: string): Thing {
  const shapes: Readonly<Record<LoadChoice, LoadShape>> = {
    ball: { kind: 'ball', radius: 0.12 },
    box: { kind: 'box', size: [0.36, 0.26, 0.3] },
    pack: { kind: 'box', size: [0.34, 0.52, 0.24] },
    crate: { kind: 'box', size: [0.45, 0.35, 0.35] },
  };
  const masses: Readonly<Record<LoadChoice, number>> = { ball: 4, box: 8, pack: 12, crate: 15 };
  const words: Readonly<Record<LoadChoice, string>> = {
    ball: 'Ball',
    box: 'Box',
    pack: 'Pack',
    crate: 'Crate',
  };
  const value = {
    id,
    name: freeName(words[choice], shown.scene.loads),
    shape: shapes[choice],
    mass: masses[choice],
    place: placeOf(shown, choice, figure),
  };
  return { kind: 'load', value };
}

function placeOf(shown: Shown, choice: LoadChoice, figure: string): LoadPlace {
  const posed = shown.posed.get(figure);
  if (choice === 'crate' || posed === undefined) {
    const at = posed?.segments.pelvis.position ?? [0, 0, 0];
    return { kind: 'standing', position: [at[0], 0.175, at[2] + 0.6], rotation: IDENTITY };
  }
  if (choice === 'pack') {
    const { segments } = posed.body;
    const behind = -(posed.body.patches.back.outline[0]?.[2] ?? -0.12) + 0.13;
    const offset: Vec3 = [0, segments.chest.end[1] * 0.35, -behind];
    return { kind: 'attached', figure, segment: 'chest', offset, rotation: IDENTITY };
  }
  return { kind: 'held', figure, hands: 'both', offset: [0, 0, 0] };
}

/** A surface of a kind, in front of the figures or under them as its use is. */
export function newSurface(shown: Shown, id: string, choice: SurfaceChoice): Thing {
  const sizes: Readonly<Record<SurfaceChoice, Vec3>> = {
    box: [0.5, 0.4, 0.5],
    step: [0.8, 0.17, 0.3],
    seat: [0.45, 0.45, 0.42],
    ledge: [1.2, 0.6, 0.8],
    beam: [0.095, 0.1, 2],
    wall: [1.6, 2, 0.1],
  };
  const ahead: Readonly<Record<SurfaceChoice, number>> = {
    box: 0.7,
    step: 0.45,
    seat: -0.55,
    ledge: 1.1,
    beam: 0,
    wall: 0.8,
  };
  const size = sizes[choice];
  const position: Vec3 = [0, size[1] / 2, ahead[choice]];
  const name = freeName(
    SURFACE_CHOICES[choice].replace(/^./, (letter) => letter.toUpperCase()),
    shown.scene.surfaces,
  );
  return {
    kind: 'surface',
    value: { id, name, kind: choice, position, rotation: IDENTITY, size, friction: 0.7 },
  };
}

/** The level floor, for a scene without one. */
export function newFloor(id: string): Thing {
  const position: Vec3 = [0, 0, 0];
  const floor = { id, name: 'Floor', kind: 'floor', position, rotation: IDENTITY } as const;
  return { kind: 'surface', value: { ...floor, size: null, friction: 0.7 } };
}

/** A fresh id for a thing; ids stand between slashes in keys. */
export const freshId = (): string => crypto.randomUUID().slice(0, 8);
