import type { z } from 'zod';
import { buildBody } from '../body/index.ts';
import type { Quat } from '../geometry/types.ts';
import { massOf } from '../scene/index.ts';
import type { Scene } from '../scene/types.ts';
import { issueMessage, syntaxMessage, told } from './json-faults.ts';
import { asScene, SCENE_FILE_VERSION, sceneFileSchema, sceneSchema } from './scene-schema.ts';

/** A scene read from a file, or one line that says where it is wrong and what was expected. */
export type SceneRead =
  | { readonly ok: true; readonly scene: Scene; readonly name: string | null }
  | { readonly ok: false; readonly message: string };

/**
 * Reads a scene file (scene-schema.ts) or a bare scene object. Never throws: a fault is told with its
 * path in the file ("scene.figures[0].body.mass: expected a number above 0, got -3"), a broken file
 * with line and column. Quaternions come back at unit length.
 */
export function readSceneJson(text: string): SceneRead {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return { ok: false, message: syntaxMessage(text, 'a scene') };
  }
  if (typeof data !== 'object' || data === null || Array.isArray(data)) {
    return { ok: false, message: `expected a scene object { ... }, got ${told(data)}` };
  }
  const wrapped = 'counterlean' in data || 'scene' in data;
  const versionFault = wrapped ? newerVersion(data) : null;
  if (versionFault !== null) return { ok: false, message: versionFault };
  const read = wrapped ? sceneFileSchema.safeParse(data) : sceneSchema.safeParse(data);
  if (!read.success) {
    const [first, ...more] = read.error.issues;
    const rest = more.length === 0 ? '' : ` (and ${more.length} more like this)`;
    return {
      ok: false,
      message: issueMessage(first as z.core.$ZodIssue, data, 'the scene') + rest,
    };
  }
  const file = 'scene' in read.data ? read.data : { scene: read.data, name: undefined };
  const scene = withMasses(atUnitLength(asScene(file.scene)));
  const fault = referenceFault(scene) ?? bodyFault(scene);
  if (fault !== null) return { ok: false, message: wrapped ? `scene.${fault}` : fault };
  return { ok: true, scene, name: file.name ?? null };
}

/** The text of a scene file, indented, with a line feed at its end. */
export function writeSceneJson(scene: Scene, name?: string): string {
  const file = {
    counterlean: SCENE_FILE_VERSION,
    ...(name === undefined ? {} : { name }),
    scene,
  };
  return `${JSON.stringify(file, null, 2)}\n`;
}

function newerVersion(data: object): string | null {
  const version = (data as { counterlean?: unknown }).counterlean;
  if (typeof version !== 'number' || version <= SCENE_FILE_VERSION) return null;
  return `counterlean: this file is of version ${version}, this program reads version ${SCENE_FILE_VERSION}; update the program or write the file again`;
}

/** Ids that one list uses twice, and names of figures and loads that are not in the scene. */
function referenceFault(scene: Scene): string | null {
  for (const [list, things] of Object.entries<readonly { id: string }[]>({ ...scene })) {
    const seen = new Set<string>();
    for (const [index, { id }] of things.entries()) {
      if (seen.has(id)) return `${list}[${index}].id: expected an id of its own, got "${id}" again`;
      seen.add(id);
    }
  }
  const figures = new Set(scene.figures.map((figure) => figure.id));
  const loads = new Set(scene.loads.map((load) => load.id));
  for (const [index, { place }] of scene.loads.entries()) {
    if (place.kind !== 'standing' && !figures.has(place.figure)) {
      return missing(`loads[${index}].place.figure`, 'figure', place.figure, figures);
    }
  }
  for (const [index, grip] of scene.grips.entries()) {
    for (const side of ['a', 'b'] as const) {
      const end = grip[side];
      const path = `grips[${index}].${side}`;
      if (end.kind === 'figure' && !figures.has(end.figure)) {
        return missing(`${path}.figure`, 'figure', end.figure, figures);
      }
      if (end.kind === 'load' && !loads.has(end.load)) {
        return missing(`${path}.load`, 'load', end.load, loads);
      }
    }
  }
  return null;
}

/** A body that cannot be built: the ranges are those of core/body. */
function bodyFault(scene: Scene): string | null {
  for (const [index, { body }] of scene.figures.entries()) {
    try {
      buildBody(body);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      return `figures[${index}].body: ${error.message}`;
    }
  }
  return null;
}

function missing(path: string, kind: string, id: string, known: ReadonlySet<string>): string {
  const there = known.size === 0 ? 'there is none' : `there is ${[...known].join(', ')}`;
  return `${path}: expected the id of a ${kind} (${there}), got "${id}"`;
}

/** Loads of a material weigh what it says. */
const withMasses = (scene: Scene): Scene => ({
  ...scene,
  loads: scene.loads.map((load) => ({ ...load, mass: massOf(load) })),
});

function unit(q: Quat): Quat {
  const length = Math.hypot(...q);
  // Dividing what is a unit already would only move its last digit, and a file must read back alike.
  if (Math.abs(length - 1) < 1e-12) return q;
  return [q[0] / length, q[1] / length, q[2] / length, q[3] / length];
}

function atUnitLength(scene: Scene): Scene {
  return {
    ...scene,
    figures: scene.figures.map((figure) => ({
      ...figure,
      pose: {
        ...figure.pose,
        rotation: unit(figure.pose.rotation),
        joints: Object.fromEntries(
          Object.entries(figure.pose.joints).map(([name, turn]) => [name, unit(turn)]),
        ),
      },
    })),
    loads: scene.loads.map((load) =>
      load.place.rotation === undefined
        ? load
        : { ...load, place: { ...load.place, rotation: unit(load.place.rotation) } },
    ),
    surfaces: scene.surfaces.map((surface) => ({ ...surface, rotation: unit(surface.rotation) })),
  };
}
