import { createDecoder, readVarUint } from 'lib0/decoding';
import * as Y from 'yjs';

export type Struct = ReturnType<typeof Y.decodeUpdate>['structs'][number];

/** A run of clocks that are deleted. */
export interface Range {
  readonly clock: number;
  readonly len: number;
}

/** An update as it was sent: structs by client in the order of their clocks, and deletions by client. */
export interface SentUpdate {
  readonly structs: ReadonlyMap<number, readonly Struct[]>;
  readonly deletions: ReadonlyMap<number, readonly Range[]>;
}

/** Yjs draws client ids of 32 bits. */
const MAX_CLIENT = 0xffff_ffff;

/** Poses, pins and clip links are flat; deeper than this is nobody's value. */
const MAX_DEPTH = 16;

/**
 * Reads an update without applying it. Null for bytes that are none, and for bytes that decode but
 * could not have been made by Yjs: applying those breaks off half-way, or means something else to the
 * code that applies than to the code that looked, and the room would have to be read again.
 */
export function readUpdate(update: Uint8Array): SentUpdate | null {
  try {
    const { structs, ds } = Y.decodeUpdate(update);
    const byClient = new Map<number, Struct[]>();
    for (const struct of structs) {
      if (!isCoherent(struct)) return null;
      const { client } = struct.id;
      const own = byClient.get(client);
      if (own === undefined) byClient.set(client, [struct]);
      else own.push(struct);
    }
    // Applying takes only the last block of a client, decoding shows all of them.
    const blocks = readVarUint(createDecoder(update));
    if (blocks !== byClient.size) return null;
    for (const [client, ranges] of ds.clients) {
      if (client > MAX_CLIENT || ranges.some(({ len }) => len <= 0)) return null;
    }
    return { structs: byClient, deletions: ds.clients };
  } catch {
    return null;
  }
}

function isCoherent(struct: Struct): boolean {
  if (struct.length <= 0 || struct.id.client > MAX_CLIENT) return false;
  if (!(struct instanceof Y.Item)) return true;
  const parent: unknown = struct.parent;
  // What an item stands beside or in was there before it, so within one client at a lower clock.
  const refersBack = [struct.origin, struct.rightOrigin, parent].every(
    (id) => !(id instanceof Y.ID) || id.client !== struct.id.client || id.clock < struct.id.clock,
  );
  return refersBack && valuesOf(struct).every((value) => isShallow(value, MAX_DEPTH));
}

/** The values that an item holds; none for one that is deleted already. */
export function valuesOf({ content }: Y.Item): readonly unknown[] {
  if (content instanceof Y.ContentBinary) return [content.content];
  return content instanceof Y.ContentAny ? content.arr : [];
}

function isShallow(value: unknown, depth: number): boolean {
  if (typeof value !== 'object' || value === null || value instanceof Uint8Array) return true;
  return depth > 0 && Object.values(value).every((inner) => isShallow(inner, depth - 1));
}
