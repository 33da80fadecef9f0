import { contactKey, gripKey } from './scene-entries.ts';

/**
 * The entries that show holds as let go: grips by id, hands closed round something as `FIGURE/palmL`.
 * What is not there, or no hold, is passed over.
 */
export function letGoEntries(
  entries: ReadonlyMap<string, unknown>,
  holds: readonly string[],
): Readonly<Record<string, unknown>> {
  const open: Record<string, unknown> = {};
  for (const hold of holds) {
    if (entries.has(gripKey(hold))) open[gripKey(hold, 'open')] = true;
    const [figure = '', patch] = hold.split('/');
    if (patch !== 'palmL' && patch !== 'palmR') continue;
    const key = contactKey(figure, patch);
    if (entries.get(key) === 'gripping') open[key] = 'lifted';
  }
  return open;
}
