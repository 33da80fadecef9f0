import { assess } from '../../core/balance/index.ts';
import {
  figureFields,
  figureKey,
  loadFields,
  loadKey,
  overlaid,
  readSceneEntries,
  surfaceFields,
  surfaceKey,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import type { Patch } from '../../web/bench/movables.ts';
import { type Shown, show } from '../../web/bench/shown.ts';

/** A scene's entries as the shared document keeps them. */
function entriesOf(scene: Scene): Map<string, unknown> {
  const entries = new Map<string, unknown>();
  const put = (key: string, fields: Record<string, unknown>): void => {
    entries.set(key, 1);
    for (const [field, value] of Object.entries(fields)) entries.set(`${key}/${field}`, value);
  };
  for (const figure of scene.figures) put(figureKey(figure.id), figureFields(figure));
  for (const load of scene.loads) put(loadKey(load.id), loadFields(load));
  for (const surface of scene.surfaces) put(surfaceKey(surface.id), surfaceFields(surface));
  return entries;
}

/** What is shown once a patch is laid over the entries, as a live draft does it. */
export function withPatch(scene: Scene, patch: Patch): Shown {
  const next = readSceneEntries(overlaid(entriesOf(scene), patch));
  return show(next, assess(next));
}
