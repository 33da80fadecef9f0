import type { Changes } from '../../core/balance/index.ts';
import {
  figureFields,
  figureKey,
  loadFields,
  loadKey,
  SEPARATOR,
} from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';

/** What a way back changes, as entries of the draft that the scene was read from. */
export function wayEntries(scene: Scene, { poses, loads }: Changes): Record<string, unknown> {
  const entries: Record<string, unknown> = {};
  const put = (
    key: string,
    before: Readonly<Record<string, unknown>>,
    after: Readonly<Record<string, unknown>>,
  ): void => {
    for (const [field, value] of Object.entries(after)) {
      if (JSON.stringify(value) !== JSON.stringify(before[field])) {
        entries[key + SEPARATOR + field] = value;
      }
    }
  };
  for (const figure of scene.figures) {
    const pose = poses[figure.id];
    if (pose !== undefined) {
      put(figureKey(figure.id), figureFields(figure), figureFields({ ...figure, pose }));
    }
  }
  for (const load of scene.loads) {
    const place = loads[load.id];
    if (place !== undefined)
      put(loadKey(load.id), loadFields(load), loadFields({ ...load, place }));
  }
  return entries;
}
