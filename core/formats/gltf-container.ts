import { GltfFault } from './gltf-schema.ts';

/** The two parts of a glTF file: its JSON as bytes of UTF-8, and the binary chunk of a .glb. */
export interface GltfParts {
  readonly json: Uint8Array;
  readonly binary: Uint8Array | null;
}

const MAGIC = 0x46546c67; // "glTF"
const JSON_CHUNK = 0x4e4f534a; // "JSON"
const BINARY_CHUNK = 0x004e4942; // "BIN"
const HEADER = 12;
const CHUNK_HEADER = 8;

/**
 * Takes a .glb apart (Khronos glTF 2.0 specification, section 4.4); any other bytes are taken as the
 * JSON of a .gltf. Throws GltfFault for a .glb that is cut short or of another version.
 */
export function splitGltf(bytes: Uint8Array): GltfParts {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.byteLength < 4 || view.getUint32(0, true) !== MAGIC) {
    return { json: bytes, binary: null };
  }
  if (bytes.byteLength < HEADER + CHUNK_HEADER) {
    throw new GltfFault(
      'header',
      `a .glb has at least ${HEADER + CHUNK_HEADER} bytes, this has ${bytes.byteLength}`,
    );
  }
  const version = view.getUint32(4, true);
  if (version !== 2) {
    throw new GltfFault('header', `expected version 2 of the container, got ${version}`);
  }
  const length = view.getUint32(8, true);
  if (length > bytes.byteLength) {
    throw new GltfFault(
      'header',
      `the file says ${length} bytes and ends after ${bytes.byteLength}; fetch or export it again`,
    );
  }
  let json: Uint8Array | null = null;
  let binary: Uint8Array | null = null;
  // The JSON comes first and the binary second; further chunks are extensions and passed over.
  for (let at = HEADER, chunk = 0; at + CHUNK_HEADER <= length; chunk++) {
    const size = view.getUint32(at, true);
    const kind = view.getUint32(at + 4, true);
    const start = at + CHUNK_HEADER;
    if (start + size > length) {
      throw new GltfFault(
        `chunk ${chunk}`,
        `it says ${size} bytes and the file has ${length - start} left`,
      );
    }
    const content = bytes.subarray(start, start + size);
    if (chunk === 0 && kind !== JSON_CHUNK) {
      throw new GltfFault('chunk 0', 'expected the JSON chunk first');
    }
    if (chunk === 0) json = content;
    if (chunk === 1 && kind === BINARY_CHUNK) binary = content;
    at = start + size;
  }
  if (json === null) throw new GltfFault('chunk 0', 'expected the JSON chunk, found nothing');
  return { json, binary };
}
