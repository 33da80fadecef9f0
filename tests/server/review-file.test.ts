import { strToU8, unzipSync, zipSync } from 'fflate';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { AppError } from '../../server/errors.ts';
import { MANIFEST, sha256 } from '../../server/record/review-file.ts';
import { UNPACK_LIMITS, unpackReview } from '../../server/record/unpack-review.ts';
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

  it('is brought in by a lead alone', async () => {
    const server = await startServer();
    const cookie = await server.joinAs('animator');
    const bytes = await takeOut(server, cookie);
    expect((await bringIn(server, cookie, bytes)).status).toBe(403);
  });

  it('is refused whole when a part is damaged, missing or not listed', async () => {
    const good = packed(() => undefined);
    const whole = await unpackReview(good);
    expect(whole).toMatchObject({ title: 'x', files: [] });
    const parts = unzipSync(good);
    const changed = zipSync({ ...parts, 'documents/notes.json': strToU8('{ }') });
    await expect(unpackReview(changed)).rejects.toThrow('the file is damaged');
    const { 'documents/notes.json': _, ...fewer } = parts;
    await expect(unpackReview(zipSync(fewer))).rejects.toThrow('lacks documents/notes.json');
    const more = zipSync({ ...parts, [`files/${'a'.repeat(64)}`]: BVH });
    await expect(unpackReview(more)).rejects.toThrow('is not in the manifest');
    for (let cut = 1; cut < good.length; cut += 37) {
      // What is cut off behind the last part lacks nothing.
      await unpackReview(good.subarray(0, cut)).then(
        (read) => expect(read).toEqual(whole),
        (fault) => expect(fault).toBeInstanceOf(AppError),
      );
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
    const many = packed((parts) => {
      for (let index = 0; index < UNPACK_LIMITS.parts; index++) {
        parts[`files/${index.toString(16).padStart(64, '0')}`] = new Uint8Array();
      }
    });
    await expect(unpackReview(many)).rejects.toThrow('more parts');
  });
});
