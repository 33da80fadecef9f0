import { strToU8, unzipSync, zipSync } from 'fflate';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { AppError } from '../../server/errors.ts';
import { MANIFEST } from '../../server/record/review-file.ts';
import { UNPACK_LIMITS, type Unpacked } from '../../server/record/unpack-review.ts';
import { withReviewFile } from '../../server/record/with-review-file.ts';
import { sha256 } from '../../server/storage/file-store.ts';
import { startServer, type TestServer } from '../helpers/served.ts';

const BVH = strToU8(`HIERARCHY
ROOT Hips
{
  OFFSET 0 0 0
  CHANNELS 6 Xposition Yposition Zposition Zrotation Xrotation Yrotation
  End Site
  {
    OFFSET 0 10 0
  }
}
MOTION
Frames: 1
Frame Time: 0.04
0 90 0 0 0 0
`);

const at = (server: TestServer, path: string): string => `${server.url}/api/reviews/demo${path}`;

async function put(server: TestServer, cookie: string, bytes: Uint8Array): Promise<string> {
  const response = await fetch(at(server, '/files'), {
    ...{ method: 'PUT', headers: { cookie }, body: bytes as Uint8Array<ArrayBuffer> },
  });
  return ((await response.json()) as { hash: string }).hash;
}

async function takeOut(server: TestServer, cookie: string): Promise<Uint8Array> {
  const response = await fetch(at(server, '/record/review.zip'), { headers: { cookie } });
  return new Uint8Array(await response.arrayBuffer());
}

const bringIn = async (server: TestServer, cookie: string, bytes: Uint8Array) => {
  const response = await fetch(at(server, '/beside'), {
    method: 'POST',
    headers: { cookie, 'content-type': 'application/zip' },
    body: bytes as Uint8Array<ArrayBuffer>,
  });
  return { status: response.status, body: (await response.json()) as Record<string, never> };
};

const record = async (server: TestServer, cookie: string, review: string) => {
  const address = `${server.url}/api/reviews/${review}/record/review.json`;
  return (await (await fetch(address, { headers: { cookie } })).json()) as Record<string, unknown>;
};

/** A review file with other parts, and a manifest that fits them. */
function packed(
  change: (parts: Record<string, Uint8Array>) => void,
  manifest: Record<string, unknown> = {},
): Uint8Array {
  const empty = strToU8('{}');
  const parts: Record<string, Uint8Array> = {
    ...{ 'documents/scenes.json': empty, 'documents/notes.json': empty },
    'documents/record.json': empty,
  };
  change(parts);
  const listed = Object.fromEntries(
    Object.entries(parts).map(([path, bytes]) => [
      path,
      { sha256: sha256(bytes), bytes: bytes.byteLength },
    ]),
  );
  const head = { format: 'counterlean-review', version: 1, title: 'x', madeAt: '', parts: listed };
  return zipSync({ ...parts, [MANIFEST]: strToU8(JSON.stringify({ ...head, ...manifest })) });
}

const unpackReview = (bytes: Uint8Array): Promise<Unpacked> =>
  withReviewFile(
    new Blob([bytes as Uint8Array<ArrayBuffer>]).stream(),
    async (unpacked) => unpacked,
  );

describe('a review file', () => {
  it('goes out and comes in on another server with everything in it, as a new review', async () => {
    const here = await startServer();
    const cookie = await here.joinAs('lead');
    const clip = await put(here, cookie, BVH);
    const picture = await sharp({
      create: { width: 8, height: 6, channels: 3, background: '#a83' },
    })
      .png()
      .toBuffer();
    const image = await put(here, cookie, new Uint8Array(picture));
    const bytes = await takeOut(here, cookie);
    expect(Object.keys(unzipSync(bytes)).sort()).toEqual(
      [
        ...['documents/notes.json', 'documents/record.json', 'documents/scenes.json'],
        ...[`files/${clip}`, `files/${image}`, 'manifest.json'],
      ].sort(),
    );
    const there = await startServer();
    const lead = await there.joinAs('lead');
    const before = await record(there, lead, 'demo');
    const brought = await bringIn(there, lead, bytes);
    expect(brought).toMatchObject({ status: 201, body: { title: 'Small review' } });
    const id = String(brought.body.id);
    expect(id).not.toBe('demo');
    const told = await record(there, lead, id);
    const first = await record(here, cookie, 'demo');
    expect(told.shots).toEqual(first.shots);
    expect(told.sequences).toEqual(first.sequences);
    // Nothing that was there is touched.
    expect((await record(there, lead, 'demo')).shots).toEqual(before.shots);
    const file = await fetch(`${there.url}/api/reviews/${id}/files/${clip}`, {
      headers: { cookie: lead },
    });
    expect(new Uint8Array(await file.arrayBuffer())).toEqual(BVH);
  });

  it('may hold a picture or clip in which the marks of an archive occur', async () => {
    const here = await startServer();
    const cookie = await here.joinAs('lead');
    // A binary glTF that is kept as it is: a local header, a data descriptor and an end, one after the other.
    const marks = [0x04034b50, 0x08074b50, 0x02014b50, 0x06054b50];
    const glb = new DataView(new ArrayBuffer(20 + 200));
    for (const [index, value] of [0x46546c67, 2, 220, 200, 0x4e4f534a].entries()) {
      glb.setUint32(index * 4, value, true);
    }
    for (const [index, mark] of marks.entries()) glb.setUint32(20 + index * 40, mark, true);
    const clip = await put(here, cookie, new Uint8Array(glb.buffer));
    const bytes = await takeOut(here, cookie);
    const brought = await bringIn(here, cookie, bytes);
    expect(brought.status).toBe(201);
    const file = await fetch(`${here.url}/api/reviews/${brought.body.id}/files/${clip}`, {
      headers: { cookie },
    });
    expect(new Uint8Array(await file.arrayBuffer())).toEqual(new Uint8Array(glb.buffer));
  });

  it('is brought in by a lead alone', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const bytes = await takeOut(server, cookie);
    expect((await bringIn(server, cookie, bytes)).status).toBe(403);
  });

  it('is refused whole when a part is damaged, missing or not listed', async () => {
    const good = packed(() => undefined);
    expect(await unpackReview(good)).toMatchObject({ title: 'x', files: [] });
    const parts = unzipSync(good);
    const changed = zipSync({ ...parts, 'documents/notes.json': strToU8('{ }') });
    await expect(unpackReview(changed)).rejects.toThrow('the file is damaged');
    const { 'documents/notes.json': _, ...fewer } = parts;
    await expect(unpackReview(zipSync(fewer))).rejects.toThrow('lacks documents/notes.json');
    const more = zipSync({ ...parts, [`files/${'a'.repeat(64)}`]: BVH });
    await expect(unpackReview(more)).rejects.toThrow('is not in the manifest');
    for (let cut = 1; cut < good.length; cut += 37) {
      await expect(unpackReview(good.subarray(0, cut))).rejects.toBeInstanceOf(AppError);
    }
  });

  it('is refused when it is something else, or made by a newer version', async () => {
    const other = zipSync({ '../../etc/passwd': strToU8('x') });
    await expect(unpackReview(other)).rejects.toThrow('It is no review file');
    await expect(unpackReview(strToU8('not a zip at all'))).rejects.toThrow('It is no review file');
    const newer = packed(() => undefined, { version: 2 });
    await expect(unpackReview(newer)).rejects.toThrow('a newer version (2, this one reads 1)');
    const nested = packed((parts) => {
      parts['documents/scenes.json'] = strToU8('{"shots":[1]}');
    });
    await expect(unpackReview(nested)).rejects.toThrow('does not fit the shape');
    const program = packed((parts) => {
      parts[`files/${'a'.repeat(64)}`] = strToU8('<script>alert(1)</script>');
    });
    await expect(unpackReview(program)).rejects.toThrow('no file that a review keeps');
  });

  it('cannot unpack to more than it may, whatever it says of its size', async () => {
    const huge = new Uint8Array(UNPACK_LIMITS.partBytes + 1);
    const bomb = packed((parts) => {
      parts[`files/${'a'.repeat(64)}`] = huge;
    });
    expect(bomb.byteLength).toBeLessThan(UNPACK_LIMITS.partBytes / 500);
    await expect(unpackReview(bomb)).rejects.toThrow('larger than a review may be');
    // The same, with a directory that says it is small.
    const lying = new DataView(bomb.slice().buffer);
    for (let at = 0; at + 46 < lying.byteLength; at++) {
      if (lying.getUint32(at, true) === 0x02014b50 && lying.getUint32(at + 24, true) > 1e6) {
        lying.setUint32(at + 24, 1000, true);
      }
    }
    await expect(unpackReview(new Uint8Array(lying.buffer))).rejects.toThrow('cannot be unpacked');
    const many = packed((parts) => {
      for (let index = 0; index < UNPACK_LIMITS.parts; index++) {
        parts[`files/${index.toString(16).padStart(64, '0')}`] = new Uint8Array();
      }
    });
    await expect(unpackReview(many)).rejects.toThrow('more parts');
  });
});
