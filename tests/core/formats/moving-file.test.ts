import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import { type MovingClip, movingFormat, readMoving } from '../../../core/formats/index.ts';
import { restPose } from '../../../core/pose/index.ts';
import { asGltf, stickGltf } from '../../helpers/gltf-files.ts';
import { pictured } from '../../helpers/keypoint-files.ts';
import { smallClip } from '../../helpers/small-clip.ts';
import { bentScene } from '../../helpers/small-review.ts';

const man = { mass: 70, table: 'deleva-male' } as const;
const contentOf = (data: string | Uint8Array) => {
  const bytes = typeof data === 'string' ? new TextEncoder().encode(data) : data;
  return { bytes, text: new TextDecoder().decode(bytes) };
};

const spec = bentScene(0).figures[0]!.body;
const picture = JSON.stringify([
  {
    image_id: 1,
    keypoints: pictured(spec, restPose(buildBody(spec)), {
      pixelsPerMetre: 400,
      origin: [500, 900],
    }),
    score: 1,
    category_id: 1,
  },
]);

async function clipOf(data: string | Uint8Array, settings = {}): Promise<MovingClip> {
  const read = await readMoving(contentOf(data), { ...man, ...settings });
  if (!read.ok) throw new Error(read.message);
  return read.clip;
}

describe('a file with frames', () => {
  it('is told by its content', () => {
    expect(movingFormat(contentOf(smallClip(2)))).toBe('bvh');
    expect(movingFormat(contentOf(asGltf(stickGltf())))).toBe('gltf');
    expect(movingFormat({ text: 'glTF\u0002' })).toBe('gltf');
    expect(movingFormat({ text: picture })).toBe('keypoints');
    expect(movingFormat({ text: '{ "format": "counterlean" }' })).toBeNull();
    expect(movingFormat({ text: 'hello' })).toBeNull();
  });

  it('gives scenes, whatever its format', async () => {
    for (const data of [smallClip(4), asGltf(stickGltf()), picture]) {
      const clip = await clipOf(data, { stature: 1.8 });
      expect(clip.sceneAt(0).figures).toHaveLength(1);
      expect(clip.sceneAt(1e6)).toEqual(clip.sceneAt(clip.frameCount - 1));
      expect(clip.sentences.length).toBeGreaterThan(2);
    }
  });

  it('names its joints and animations for corrections', async () => {
    const bvh = await clipOf(smallClip(4));
    expect(bvh.joints).toContain('LeftUpLeg');
    expect(bvh.animations).toEqual([]);
    expect((await clipOf(asGltf(stickGltf()))).animations).toEqual(['Bow']);
  });

  it('is played at the rate that is set by hand, and says what the file says', async () => {
    const clip = await clipOf(smallClip(30), { fps: 12 });
    expect(clip.rate).toBeCloseTo(12, 9);
    expect(clip.frameCount).toBe(30);
    expect(clip.sentences.join(' ')).toContain('The file says 30.00 frames a second');
  });

  it('of a picture marks doubts, judges what it shows, and says that depth is assumed', async () => {
    const points = JSON.parse(picture) as { keypoints: number[] }[];
    points[0]!.keypoints[3 * 15 + 2] = 0; // the left ankle is not there
    const clip = await clipOf(JSON.stringify(points));
    expect(clip.doubtsAt(0)).toContainEqual({
      figure: 'person-1',
      point: 'left_ankle',
      sight: 'missing',
    });
    expect(clip.judge).not.toBeNull();
    expect(clip.sentences.join(' ')).toContain('depth is assumed');
  });

  it('of no such kind, or with sizes out of range, is told', async () => {
    expect(await readMoving(contentOf('hello'), man)).toEqual({
      ok: false,
      message: 'This is no BVH, glTF 2.0 or keypoints file.',
    });
    for (const wrong of [{ mass: 0 }, { stature: 9 }, { fps: 0 }]) {
      const read = await readMoving(contentOf(smallClip(2)), { ...man, ...wrong });
      expect(read).toMatchObject({ ok: false, message: expect.stringMatching(/must lie/) });
    }
  });
});
