import { asRecord, asText } from '../../core/document/index.ts';
import { gltfSideFiles } from '../../core/formats/index.ts';

/**
 * A .gltf with the numbers of its side files put inside as data URIs, so that a review keeps one file;
 * a .glb, and a .gltf that has all inside, as it is. Pictures are not taken along: figures are drawn on
 * paper.
 * @param files side files by name
 * @returns the bytes, or the names of the files that are missing
 */
export async function wholeGltf(
  bytes: Uint8Array,
  files: ReadonlyMap<string, Uint8Array>,
): Promise<{ readonly bytes: Uint8Array } | { readonly missing: readonly string[] }> {
  const names = await gltfSideFiles(bytes);
  if (names.length === 0) return { bytes };
  const byName = (name: string): Uint8Array | undefined =>
    files.get(name) ?? files.get(name.slice(name.lastIndexOf('/') + 1));
  const missing = names.filter((name) => byName(name) === undefined);
  if (missing.length > 0) return { missing };
  const { images: _, ...json } = JSON.parse(new TextDecoder().decode(bytes)) as Record<
    string,
    unknown
  >;
  // gltfSideFiles has read the same list: what is beside comes in its order.
  const beside = [...names];
  const buffers = (json.buffers as unknown[]).map((buffer) => {
    const uri = asText(asRecord(buffer)?.uri);
    if (uri === null || uri.startsWith('data:')) return buffer;
    return { ...asRecord(buffer), uri: dataUri(byName(beside.shift() ?? '') ?? new Uint8Array()) };
  });
  return { bytes: new TextEncoder().encode(JSON.stringify({ ...json, buffers })) };
}

/** Bytes that become base64 at a time: a call takes only so many arguments. */
const SLICE = 3 * 8192;

function dataUri(bytes: Uint8Array): string {
  const parts: string[] = [];
  for (let at = 0; at < bytes.byteLength; at += SLICE) {
    parts.push(btoa(String.fromCharCode(...bytes.subarray(at, at + SLICE))));
  }
  return `data:application/octet-stream;base64,${parts.join('')}`;
}
