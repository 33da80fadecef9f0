import { describe, expect, it } from 'vitest';
import { type BodySpec, buildBody } from '../../../core/body/index.ts';
import {
  isKeypointText,
  KEYPOINTS,
  type KeypointOptions,
  readKeypoints,
} from '../../../core/formats/index.ts';
import { restPose } from '../../../core/pose/index.ts';
import { pictured } from '../../helpers/keypoint-files.ts';

const spec: BodySpec = { table: 'deleva-female', stature: 1.68, mass: 62 };
const woman: KeypointOptions = { ...spec, lineUp: { scale: 1 / 400 } };
const body = buildBody(spec);

describe('a malformed file is told with the place', () => {
  const points = pictured(spec, restPose(body), { pixelsPerMetre: 400, origin: [900, 1500] });
  const single = JSON.stringify({ keypoints: points });
  it.each<[string, unknown, string]>([
    ['nothing', '', 'line 1:1: expected a keypoints file, but the file is empty'],
    ['broken JSON', '{ "annotations": [ }', 'line 1:20: expected a value, found "}"'],
    ['another object', {}, 'annotations: expected a list [ ... ], got nothing'],
    ['no people', { annotations: [] }, 'the file: it holds no people'],
    [
      'too few numbers',
      [{ keypoints: points.slice(0, 48) }],
      '[0].keypoints: expected a list of 51, got a list of 48',
    ],
    [
      'a word',
      { annotations: [{ keypoints: [...points.slice(0, 50), 'x'] }] },
      'annotations[0].keypoints[50]: expected a number, got "x"',
    ],
    [
      'a number out of any picture',
      [{ keypoints: [1e9, ...points.slice(1)] }],
      '[0].keypoints[0]: expected a number of at most 10000000, got 1000000000',
    ],
    [
      'an unknown picture',
      { images: [{ id: 1 }], annotations: [{ image_id: 2, keypoints: points }] },
      'annotations[0].image_id: there is no picture 2 in images',
    ],
    [
      'points in another order',
      {
        annotations: [{ category_id: 1, keypoints: points }],
        categories: [{ id: 1, keypoints: [...KEYPOINTS].reverse() }],
      },
      'categories[0].keypoints[0]: expected "nose" as in the 17 COCO points, got "right_ankle"',
    ],
    [
      'a crowd',
      Array.from({ length: 101 }, () => ({ keypoints: points })),
      '[100]: more than 100 people in one picture cannot be read',
    ],
  ])('%s', (_, data, message) => {
    const read = readKeypoints(typeof data === 'string' ? data : JSON.stringify(data), woman);
    expect(read.ok ? 'it was read' : read.message).toBe(message);
  });

  it('is told apart from a scene file', () => {
    expect(isKeypointText(single)).toBe(true);
    expect(isKeypointText('[{"keypoints":[]}]')).toBe(true);
    expect(isKeypointText('{"images":[],"annotations":[]}')).toBe(true);
    expect(isKeypointText('{"figures":[]}')).toBe(false);
    expect(isKeypointText('{')).toBe(false);
  });

  it('sizes out of range are RangeErrors', () => {
    for (const bad of [
      { ...woman, mass: 0 },
      { ...woman, rate: 0 },
      { ...woman, lineUp: { scale: -1 } },
      { ...woman, people: { 'person-1': { stature: 9 } } },
    ])
      expect(() => readKeypoints(single, bad)).toThrow(RangeError);
  });
});
