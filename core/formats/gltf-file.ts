import type { GLTF } from '@gltf-transform/core';
import { checkGltf } from './gltf-check.ts';
import { splitGltf } from './gltf-container.ts';
import {
  GLTF_LIMITS,
  type GltfAccessor,
  GltfFault,
  type GltfJson,
  gltfSchema,
  LARGEST,
} from './gltf-schema.ts';
import { issueMessage, syntaxMessage } from './json-faults.ts';

/** The skeletal part of a glTF file with its numbers at hand. */
export interface GltfFile {
  readonly json: GltfJson;
  /** The numbers of a needed accessor, element after element, normalised ones as they mean. */
  numbers(accessor: number): Float64Array;
}

/**
 * Reads a .glb or .gltf. Side files are looked up in `files` by the name that the file uses, or by the
 * last part of it. Rejects with GltfFault for what is wrong with the file.
 */
export async function readGltfFile(
  bytes: Uint8Array,
  files: ReadonlyMap<string, Uint8Array>,
): Promise<GltfFile> {
  if (bytes.byteLength > GLTF_LIMITS.bytes) {
    throw new GltfFault(
      'file',
      `${bytes.byteLength} bytes are more than can be read (${GLTF_LIMITS.bytes})`,
    );
  }
  // Loaded only when a glTF file comes in: a page without one does not carry the reader.
  const { BufferUtils, Logger, WebIO } = await import('@gltf-transform/core');
  const parts = splitGltf(bytes);
  const json = parse(BufferUtils.decodeText(parts.json));
  const used = checkGltf(json);

  const resources = new Map<number, Uint8Array>();
  const bytesOf = (buffer: number): Uint8Array => {
    const known = resources.get(buffer);
    if (known) return known;
    const { uri, byteLength } = json.buffers[buffer] as GltfJson['buffers'][number];
    const place = `buffers[${buffer}]`;
    const found = find(
      place,
      uri,
      parts.binary,
      files,
      buffer,
      BufferUtils.createBufferFromDataURI,
    );
    if (found.byteLength < byteLength) {
      throw new GltfFault(
        `${place}.byteLength`,
        `the file says ${byteLength} bytes, there are ${found.byteLength}`,
      );
    }
    resources.set(buffer, found);
    return found;
  };
  const only = neededPart(json, used, bytesOf);
  const io = new WebIO().setLogger(new Logger(Logger.Verbosity.SILENT));
  const document = await io.readJSON(only);
  const accessors = document.getRoot().listAccessors();
  const place = new Map(used.map((accessor, i) => [accessor, i]));
  return {
    json,
    numbers: (accessor) => {
      const source = accessors[place.get(accessor) ?? -1];
      if (!source) throw new RangeError(`accessor ${accessor} is not one of the needed ones`);
      const size = source.getElementSize();
      const all = new Float64Array(source.getCount() * size);
      const element: number[] = [];
      for (let i = 0; i < source.getCount(); i++) all.set(source.getElement(i, element), i * size);
      const bad = all.findIndex((value) => !(Math.abs(value) <= LARGEST));
      if (bad >= 0) {
        throw new GltfFault(
          `accessors[${accessor}]`,
          `element ${Math.floor(bad / size)} holds ${all[bad]}, which is no number up to ${LARGEST}`,
        );
      }
      return all;
    },
  };
}

/** Names of the files beside it that the file's buffers are in. Rejects like readGltfFile. */
export async function sideFileNames(bytes: Uint8Array): Promise<readonly string[]> {
  const { BufferUtils } = await import('@gltf-transform/core');
  const { buffers } = parse(BufferUtils.decodeText(splitGltf(bytes).json));
  return buffers.flatMap(({ uri }) =>
    uri === undefined || uri.startsWith('data:') ? [] : [decodedName(uri)],
  );
}

function parse(text: string): GltfJson {
  // A byte order mark is no part of JSON.
  const plain = text.charCodeAt(0) === 0xfeff ? text.slice(1) : text;
  let data: unknown;
  try {
    data = JSON.parse(plain);
  } catch {
    const message = syntaxMessage(plain, 'a glTF file');
    const colon = message.indexOf(': ');
    throw colon < 0
      ? new GltfFault('file', message)
      : new GltfFault(message.slice(0, colon), message.slice(colon + 2));
  }
  const read = gltfSchema.safeParse(data);
  if (read.success) return read.data;
  const [first] = read.error.issues;
  const message = first ? issueMessage(first, data, 'the file') : 'the file: not glTF';
  const colon = message.indexOf(': ');
  throw new GltfFault(message.slice(0, colon), message.slice(colon + 2));
}

const BASE64 = /^[A-Za-z0-9+/\s]*={0,2}\s*$/;

function find(
  place: string,
  uri: string | undefined,
  binary: Uint8Array | null,
  files: ReadonlyMap<string, Uint8Array>,
  buffer: number,
  decode: (uri: string) => Uint8Array,
): Uint8Array {
  if (uri === undefined) {
    if (binary !== null && buffer === 0) return binary;
    throw new GltfFault(`${place}.uri`, 'it has no uri, and the file has no binary chunk for it');
  }
  if (uri.startsWith('data:')) {
    const comma = uri.indexOf(',');
    if (!/;base64$/i.test(uri.slice(0, Math.max(0, comma))) || !BASE64.test(uri.slice(comma + 1))) {
      throw new GltfFault(`${place}.uri`, 'expected a data URI of base64');
    }
    return decode(uri);
  }
  const plain = decodedName(uri);
  const found =
    files.get(uri) ?? files.get(plain) ?? files.get(plain.slice(plain.lastIndexOf('/') + 1));
  if (found) return found;
  throw new GltfFault(
    `${place}.uri`,
    `the side file "${plain.slice(0, 80)}" is not here; hand it in with the .gltf, or export one .glb`,
  );
}

function decodedName(uri: string): string {
  try {
    return decodeURIComponent(uri);
  } catch {
    return uri;
  }
}

/** The file with the needed accessors alone, in their order, and what they lie in. */
function neededPart(
  { accessors, bufferViews }: GltfJson,
  used: readonly number[],
  bytesOf: (buffer: number) => Uint8Array,
) {
  const views: GLTF.IBufferView[] = [];
  const buffers: GLTF.IBuffer[] = [];
  const resources: Record<string, Uint8Array<ArrayBuffer>> = {};
  const bufferAt = numberer((buffer: number) => {
    const bytes = bytesOf(buffer);
    const uri = `buffer-${buffer}.bin`;
    // In an array buffer of its own, whatever the bytes came in.
    resources[uri] = new Uint8Array(bytes);
    buffers.push({ uri, byteLength: bytes.byteLength });
  });
  const viewAt = numberer((view: number) => {
    const from = bufferViews[view] as GltfJson['bufferViews'][number];
    const { byteOffset = 0, byteLength, byteStride } = from;
    views.push({
      ...{ buffer: bufferAt(from.buffer), byteOffset, byteLength },
      ...(byteStride === undefined ? {} : { byteStride }),
    });
  });
  const kept = used.map((i): GLTF.IAccessor => {
    const {
      bufferView,
      sparse,
      byteOffset = 0,
      normalized = false,
      ...rest
    } = accessors[i] as GltfAccessor;
    const view = bufferView === undefined ? {} : { bufferView: viewAt(bufferView), byteOffset };
    if (sparse === undefined) return { ...rest, ...view, normalized };
    checkSparse(i, accessors[i] as GltfAccessor, bufferViews, bytesOf);
    // Offsets are written out: the reader would take the accessor's own where they are left out.
    const { count, indices, values } = sparse;
    return {
      ...{ ...rest, ...view, normalized },
      sparse: {
        count,
        indices: {
          ...indices,
          bufferView: viewAt(indices.bufferView),
          byteOffset: indices.byteOffset ?? 0,
        },
        values: { bufferView: viewAt(values.bufferView), byteOffset: values.byteOffset ?? 0 },
      },
    };
  });
  const json: GLTF.IGLTF = {
    asset: { version: '2.0' },
    accessors: kept,
    bufferViews: views,
    buffers,
  };
  return { json, resources };
}

/** Gives the things that are asked for numbers of their own, from 0, and makes each once. */
function numberer(make: (old: number) => void): (old: number) => number {
  const numbers = new Map<number, number>();
  return (old) => {
    const known = numbers.get(old);
    if (known !== undefined) return known;
    const next = numbers.size;
    numbers.set(old, next);
    make(old);
    return next;
  };
}

/** Places that a sparse accessor replaces must be inside it. */
function checkSparse(
  i: number,
  { sparse, count }: GltfAccessor,
  bufferViews: GltfJson['bufferViews'],
  bytesOf: (buffer: number) => Uint8Array,
): void {
  if (sparse === undefined) return;
  const { indices } = sparse;
  const { buffer, byteOffset = 0 } = bufferViews[
    indices.bufferView
  ] as (typeof bufferViews)[number];
  const bytes = bytesOf(buffer);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const start = byteOffset + (indices.byteOffset ?? 0);
  for (let k = 0; k < sparse.count; k++) {
    const at =
      indices.componentType === 5121
        ? view.getUint8(start + k)
        : indices.componentType === 5123
          ? view.getUint16(start + 2 * k, true)
          : view.getUint32(start + 4 * k, true);
    if (at >= count) {
      throw new GltfFault(
        `accessors[${i}].sparse.indices`,
        `element ${at} is beyond the last, ${count - 1}`,
      );
    }
  }
}
