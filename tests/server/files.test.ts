import { createHash } from 'node:crypto';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { writeSceneJson } from '../../core/formats/index.ts';
import { RATES } from '../../server/access/limits.ts';
import { CAUTION } from '../../server/uploads/caution.ts';
import { statedSize } from '../../server/uploads/image-size.ts';
import { type ImageKind, kindOf } from '../../server/uploads/kinds.ts';
import { cleanPicture } from '../../server/uploads/picture.ts';
import { SMALL_REVIEW, startServer, type TestServer } from '../helpers/served.ts';

const BVH = 'HIERARCHY\nROOT Hips\n';
const MB = 1024 * 1024;

const bytesOf = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);

interface Kept {
  readonly hash: string;
  readonly kind: string;
  readonly bytes: number;
  readonly width: number | null;
  readonly height: number | null;
  readonly caution: string;
}

const put = (
  server: TestServer,
  cookie: string,
  body: Uint8Array<ArrayBuffer>,
): Promise<Response> =>
  fetch(`${server.url}/api/reviews/demo/files`, { method: 'PUT', headers: { cookie }, body });

async function kept(server: TestServer, cookie: string, body: Uint8Array<ArrayBuffer>) {
  const response = await put(server, cookie, body);
  expect(response.status).toBe(200);
  return (await response.json()) as Kept;
}

const get = (server: TestServer, cookie: string, hash: string): Promise<Response> =>
  fetch(`${server.url}/api/reviews/demo/files/${hash}`, { headers: { cookie } });

/** A picture with a gradient, so that it does not shrink to nothing. */
async function picture(
  kind: ImageKind,
  size: { width: number; height: number },
): Promise<Uint8Array<ArrayBuffer>> {
  const { width, height } = size;
  const pixels = Buffer.alloc(width * height * 3);
  for (let index = 0; index < pixels.length; index++) pixels[index] = (index * 7) % 256;
  const made = sharp(pixels, { raw: { width, height, channels: 3 } });
  return new Uint8Array(await made.toFormat(kind).toBuffer());
}

/** A PNG head that states any size, with nothing behind it. */
function pngHead(width: number, height: number): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(33);
  bytes.set([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  const view = new DataView(bytes.buffer);
  view.setUint32(8, 13);
  view.setUint32(12, 0x49484452);
  view.setUint32(16, width);
  view.setUint32(20, height);
  bytes.set([8, 2, 0, 0, 0], 24);
  return bytes;
}

const draft = SMALL_REVIEW.shots[0]?.drafts[0];
if (draft === undefined) throw new Error('the small review has a draft');
const SCENE = writeSceneJson(draft.scene);
const GLTF = JSON.stringify({ asset: { version: '2.0' }, nodes: [] });

describe('what a file is', () => {
  it.each([
    ['a clip', bytesOf(BVH), 'bvh'],
    ['a clip behind a byte order mark', bytesOf(`\ufeff${BVH}`), 'bvh'],
    ['a scene', bytesOf(SCENE), 'scene'],
    ['a glTF file', bytesOf(GLTF), 'gltf'],
    ['a glTF file of another version', bytesOf('{"asset":{"version":"1.0"}}'), null],
    ['other JSON', bytesOf('{"asset":7}'), null],
    ['JSON that breaks off', bytesOf('{"asset":'), null],
    ['a page', bytesOf('<!doctype html><script>alert(1)</script>'), null],
    ['a drawing with a script', bytesOf('<svg xmlns="http://www.w3.org/2000/svg"/>'), null],
    ['text', bytesOf('HIERARCHIES of needs'), null],
    ['a PDF', bytesOf('%PDF-1.7'), null],
    ['an old picture format', bytesOf('GIF89a'), null],
    ['bytes', Uint8Array.of(0, 255, 7), null],
    ['text in UTF-16', Uint8Array.of(0xff, 0xfe, 0x48, 0x00), null],
    ['a picture head', pngHead(3, 4), 'png'],
  ])('is told by its content: %s', (_, bytes, expected) => {
    expect(kindOf(bytes)).toBe(expected);
  });

  it('is a binary glTF file when its head says so truly', () => {
    // glTF 2.0 section 4.4: magic, version 2, length; then a chunk of JSON.
    const json = bytesOf(GLTF.padEnd(Math.ceil(GLTF.length / 4) * 4));
    const file = new Uint8Array(20 + json.length);
    const view = new DataView(file.buffer);
    file.set(bytesOf('glTF'));
    view.setUint32(4, 2, true);
    view.setUint32(8, file.length, true);
    view.setUint32(12, json.length, true);
    file.set(bytesOf('JSON'), 16);
    file.set(json, 20);
    expect(kindOf(file)).toBe('glb');
    expect(kindOf(file.subarray(0, -1))).toBeNull();
    expect(kindOf(file.subarray(0, 8))).toBeNull();
  });

  it.each<ImageKind>(['png', 'jpeg', 'webp'])(
    'and how large a %s is, as sharp has it',
    async (kind) => {
      const bytes = await picture(kind, { width: 37, height: 21 });
      expect(kindOf(bytes)).toBe(kind);
      expect(statedSize(kind, bytes)).toEqual({ width: 37, height: 21 });
      for (let end = 0; end < 40; end++) {
        expect(() => statedSize(kind, bytes.subarray(0, end))).not.toThrow();
      }
    },
  );

  it('and how large lossless and extended WebP are', async () => {
    const base = sharp(Buffer.from(await picture('png', { width: 300, height: 7 })));
    const lossless = new Uint8Array(await base.clone().webp({ lossless: true }).toBuffer());
    const extended = new Uint8Array(
      await base
        .clone()
        .withExifMerge({ IFD0: { Copyright: 'x' } })
        .webp()
        .toBuffer(),
    );
    expect(Buffer.from(lossless.subarray(12, 16)).toString()).toBe('VP8L');
    expect(Buffer.from(extended.subarray(12, 16)).toString()).toBe('VP8X');
    for (const bytes of [lossless, extended]) {
      expect(statedSize('webp', bytes)).toEqual({ width: 300, height: 7 });
    }
  });
});

describe('a file that is put in', () => {
  it('comes back by its hash, with its own type, as bytes that no browser runs', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    for (const [body, kind, type] of [
      [bytesOf(BVH), 'bvh', 'text/plain; charset=utf-8'],
      [bytesOf(SCENE), 'scene', 'application/json'],
      [bytesOf(GLTF), 'gltf', 'model/gltf+json'],
    ] as const) {
      const answer = await kept(server, cookie, body);
      expect(answer).toEqual({
        ...{ hash: createHash('sha256').update(body).digest('hex'), kind, bytes: body.byteLength },
        ...{ width: null, height: null, caution: CAUTION },
      });
      const got = await get(server, cookie, answer.hash);
      expect(new Uint8Array(await got.arrayBuffer())).toEqual(body);
      expect(got.headers.get('content-type')).toBe(type);
      expect(got.headers.get('content-disposition')).toBe('attachment');
      expect(got.headers.get('x-content-type-options')).toBe('nosniff');
      expect(got.headers.get('content-security-policy')).toContain('sandbox');
    }
  });

  it('that is of no known kind is refused with what would do', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const refused = await put(server, cookie, bytesOf('<script>alert(1)</script>'));
    expect(refused.status).toBe(422);
    expect(await refused.json()).toMatchObject({
      error: { code: 'unreadable', hint: expect.stringContaining('PNG, JPEG or WebP') },
    });
  });

  it('is refused when empty or larger than 20 MB', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const clip = (length: number): Uint8Array<ArrayBuffer> => bytesOf(BVH.padEnd(length, ' '));
    expect((await put(server, cookie, new Uint8Array())).status).toBe(400);
    expect((await put(server, cookie, clip(20 * MB))).status).toBe(200);
    expect((await put(server, cookie, clip(20 * MB + 1))).status).toBe(413);
  });

  it('is one too many after many at once', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const codes: number[] = [];
    for (let turn = 0; turn < RATES.uploadsPerPerson.burst + 40; turn++) {
      codes.push((await put(server, cookie, bytesOf(BVH))).status);
      if (codes.at(-1) === 429) break;
    }
    expect(codes.at(-1)).toBe(429);
    expect(codes.length).toBeGreaterThan(RATES.uploadsPerPerson.burst);
  });
});

describe('a picture that is put in', () => {
  it.each<ImageKind>(['png', 'jpeg', 'webp'])('comes back as a %s of its size', async (kind) => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const answer = await kept(server, cookie, await picture(kind, { width: 40, height: 30 }));
    expect(answer).toMatchObject({ kind, width: 40, height: 30, caution: CAUTION });
    const got = await get(server, cookie, answer.hash);
    expect(got.headers.get('content-type')).toBe(`image/${kind}`);
    expect(got.headers.get('content-disposition')).toBe('inline');
    expect(got.headers.get('x-content-type-options')).toBe('nosniff');
    expect(got.headers.get('content-security-policy')).toContain('sandbox');
    const bytes = Buffer.from(await got.arrayBuffer());
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(answer.hash);
    expect(await sharp(bytes).metadata()).toMatchObject({ format: kind, width: 40, height: 30 });
  });

  it('loses what cameras and programs wrote into it, and stands upright', async () => {
    const secret = 'Harbour Street 12';
    const marked = await sharp(Buffer.from(await picture('jpeg', { width: 40, height: 30 })))
      .withExif({ IFD0: { Copyright: secret, Artist: secret }, IFD3: { GPSLatitudeRef: 'N' } })
      .withXmp(`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf>${secret}</rdf></x:xmpmeta>`)
      // Orientation 6: turned by a quarter (EXIF 2.32, tag 0x0112).
      .withMetadata({ orientation: 6 })
      .jpeg()
      .toBuffer();
    expect(marked.includes(secret)).toBe(true);
    const clean = await cleanPicture('jpeg', new Uint8Array(marked));
    expect(Buffer.from(clean.bytes).includes(secret)).toBe(false);
    expect(clean).toMatchObject({ width: 30, height: 40 });
    const { exif, xmp, iptc, icc, orientation } = await sharp(clean.bytes).metadata();
    expect({ exif, xmp, iptc, icc, orientation }).toEqual({});
  });

  it('keeps nothing that hangs behind or inside it', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const page = '<script>alert(1)</script>';
    const picked = await picture('png', { width: 8, height: 8 });
    const both = new Uint8Array([...picked, ...bytesOf(page)]);
    const { hash } = await kept(server, cookie, both);
    const bytes = Buffer.from(await (await get(server, cookie, hash)).arrayBuffer());
    expect(bytes.includes('script')).toBe(false);
  });

  it('that states more than 40 megapixels is refused before it is decoded', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    for (const [width, height] of [
      [8000, 5001],
      [0x7fffffff, 0x7fffffff],
      [20_000, 10],
    ] as const) {
      const refused = await put(server, cookie, pngHead(width, height));
      expect(refused.status, `${width} x ${height}`).toBe(413);
      expect(await refused.text()).toContain('40 megapixels');
    }
  });

  it('that is broken, or lies in its head, is refused', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const whole = await picture('png', { width: 64, height: 64 });
    const cut = whole.slice(0, whole.length / 2);
    const lie = whole.slice();
    new DataView(lie.buffer).setUint32(16, 63);
    const jpegHead = Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16, 1, 2, 3);
    for (const body of [cut, lie, pngHead(10, 10), pngHead(0, 10), jpegHead]) {
      expect((await put(server, cookie, body)).status).toBe(422);
    }
  });
});
