import { PATCHES } from '../../core/body/index.ts';
import {
  draftEntries,
  figureKey,
  keyFields,
  keyKey,
  readKeys,
  type StoredKey,
} from '../../core/document/index.ts';
import type { Ease } from '../../core/motion/index.ts';
import type { Figure, Scene } from '../../core/scene/index.ts';
import type { Patch } from '../bench/movables.ts';
import type { LiveDraft } from '../session/index.ts';

type Keys = ReadonlyMap<string, readonly StoredKey[]>;
type Entries = LiveDraft['entries'];

/** The key of a figure on a frame; undefined without one. */
export const keyAt = (keys: Keys, figure: string, frame: number): StoredKey | undefined =>
  keys.get(figure)?.find((key) => key.frame === frame);

/** Id of a key that is to be made: the one that my drag makes there, so that a drag writes one key and not many. */
function newKeyId({ session, draft, frame }: LiveDraft, figure: string): string {
  const dragged = session.drag?.draft === draft ? session.drag.entries : {};
  const made = Object.keys(dragged).find(
    (entry) => entry.startsWith('key/') && entry.endsWith('/figure') && dragged[entry] === figure,
  );
  const id = made?.split('/')[1];
  return id !== undefined && dragged[keyKey(id, 'frame')] === frame ? id : crypto.randomUUID();
}

/** Entries that make a key row. */
export const keyRow = (key: StoredKey): Patch => ({
  [keyKey(key.id)]: 1,
  ...Object.fromEntries(
    Object.entries(keyFields(key)).map(([field, value]) => [keyKey(key.id, field), value]),
  ),
});

/** How a figure goes on from a frame: as the key before it says, eased where there is none. */
function easeAt(keys: readonly StoredKey[], frame: number): Ease {
  return keys.findLast((key) => key.frame <= frame)?.ease ?? keys[0]?.ease ?? 'eased';
}

/** A key of a figure as it stands, at the frame shown. */
export function keyOf(live: LiveDraft, figure: Figure, keys: Keys): StoredKey {
  const { frame } = live;
  return {
    id: newKeyId(live, figure.id),
    ...{ figure: figure.id, frame, pose: figure.pose, contacts: figure.contacts },
    ease: easeAt(keys.get(figure.id) ?? [], frame),
  };
}

/** Fields of a figure that its keys hold. */
const MOVED = /^(position|rotation|joint\..+|contact\..+)$/;

/**
 * A change of a draft as it has to be written: what poses a figure that has keys goes into its key on
 * the frame shown, which is made of the pose there where there is none yet. Everything else stays.
 * @param before the scene at that frame without the change
 */
export function keyedPatch(live: LiveDraft, patch: Patch, before: () => Scene): Patch {
  const stored = draftEntries(live.session.documents.scenes, live.draft);
  const keys = readKeys(stored);
  if (keys.size === 0) return patch;
  const written: Record<string, unknown> = {};
  const ids = new Map<string, string>();
  for (const [entry, value] of Object.entries(patch)) {
    const [kind, figure = '', field = ''] = entry.split('/');
    if (kind !== 'figure' || !keys.has(figure) || !MOVED.test(field)) {
      written[entry] = value;
      continue;
    }
    let id = ids.get(figure) ?? keyAt(keys, figure, live.frame)?.id;
    if (id === undefined) {
      const shown = before().figures.find((one) => one.id === figure);
      if (shown === undefined) continue;
      const key = keyOf(live, shown, keys);
      Object.assign(written, keyRow(key));
      id = key.id;
    }
    ids.set(figure, id);
    written[keyKey(id, field)] = value;
  }
  return written;
}

/** Entries that take a key away, and any other that lies on its frame unseen. */
export function withoutKey(entries: Entries, key: StoredKey): Patch {
  const gone: Record<string, undefined> = {};
  const frameOf = (id: string): unknown => entries.get(keyKey(id, 'frame'));
  const ids = new Set<string>();
  for (const entry of entries.keys()) {
    const [kind, id = '', field] = entry.split('/');
    if (kind !== 'key' || field !== undefined || frameOf(id) !== key.frame) continue;
    if (entries.get(keyKey(id, 'figure')) === key.figure) ids.add(id);
  }
  for (const entry of entries.keys()) {
    const [kind, id = ''] = entry.split('/');
    if (kind === 'key' && ids.has(id)) gone[entry] = undefined;
  }
  return gone;
}

/** Entries that move a key to another frame; what lay there gives way. */
export function movedKey(entries: Entries, key: StoredKey, frame: number): Patch {
  if (frame === key.frame) return {};
  const other = keyAt(readKeys(entries), key.figure, frame);
  return {
    // While it is dragged, what lies there is the key itself.
    ...(other === undefined || other.id === key.id ? {} : withoutKey(entries, other)),
    [keyKey(key.id, 'frame')]: frame,
  };
}

/** Entries that put a copy of a key on another frame, in the place of what lay there. */
export function copiedKey(entries: Entries, key: StoredKey, frame: number): Patch {
  const other = keyAt(readKeys(entries), key.figure, frame);
  return {
    ...(other === undefined ? {} : withoutKey(entries, other)),
    ...keyRow({ ...key, id: crypto.randomUUID(), frame }),
  };
}

/**
 * Entries that take all keys of a figure away: it stands in every frame as it is shown now.
 */
export function withoutKeys(entries: Entries, figure: Figure): Patch {
  const gone: Record<string, unknown> = {};
  for (const [entry, value] of entries) {
    const [kind, id = '', field] = entry.split('/');
    if (kind !== 'key' || field !== 'figure' || value !== figure.id) continue;
    for (const own of entries.keys())
      if (own === keyKey(id) || own.startsWith(`${keyKey(id)}/`)) gone[own] = undefined;
  }
  const { position, rotation, joints } = figure.pose;
  return {
    ...gone,
    [figureKey(figure.id, 'position')]: position,
    [figureKey(figure.id, 'rotation')]: rotation,
    ...Object.fromEntries(
      Object.entries(joints).map(([segment, turn]) => [
        figureKey(figure.id, `joint.${segment}`),
        turn,
      ]),
    ),
    ...Object.fromEntries(
      PATCHES.map((patch) => [figureKey(figure.id, `contact.${patch}`), figure.contacts[patch]]),
    ),
  };
}
