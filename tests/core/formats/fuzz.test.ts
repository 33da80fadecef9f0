import { WebIO } from '@gltf-transform/core';
import { describe, expect, it } from 'vitest';
import { buildBody } from '../../../core/body/index.ts';
import {
  type Clip,
  readBvh,
  readClip,
  readGltf,
  readKeypoints,
  readSceneJson,
  writeSceneJson,
} from '../../../core/formats/index.ts';
import { restPose } from '../../../core/pose/index.ts';
import { demoReview } from '../../../demo-data/index.ts';
import { asGlb, asGltf, bvhAsGltf, stickGltf } from '../../helpers/gltf-files.ts';
import { pictured } from '../../helpers/keypoint-files.ts';
import { mutateBytes, mutateJson, mutateText } from '../../helpers/mutate.ts';
import { random } from '../../helpers/random.ts';
import { smallClip } from '../../helpers/small-clip.ts';

/** 10,000 damaged files in all: each kind in batches, so that a hang shows as the batch's own timeout. */
const BATCH = 500;
const BATCHES = [1, 2, 3, 4, 5];
const man = { mass: 70, table: 'deleva-male' } as const;

/** What a reader may answer: something usable, or one line for a person. */
function clear(message: string, what: string): void {
  expect(message.length, what).toBeGreaterThan(10);
  expect(message.length, `${what}: ${message}`).toBeLessThan(600);
  expect(message, what).not.toMatch(/undefined|\[object|NaN\b.*NaN|at .*\.ts:\d/);
  expect(message.trim(), what).not.toMatch(/[\r\n]/);
}

function usable(clip: Clip, what: string): void {
  const { position, rotation } = clip.poseAt(clip.frameCount - 1);
  expect([...position, ...rotation].every(Number.isFinite), what).toBe(true);
  for (const sentence of clip.report.sentences) expect(sentence, what).not.toMatch(/NaN|undefined/);
}

/** Runs a batch and makes sure that it was no mere row of refusals or of files that came through whole. */
function tally(read: number, seed: number): void {
  expect(read, `seed ${seed}: read`).toBeGreaterThan(0);
  expect(read, `seed ${seed}: read`).toBeLessThan(BATCH);
}

describe('damaged BVH files', () => {
  const whole = smallClip(4);
  it.each(BATCHES)(`${BATCH} of them, seed %i`, (seed) => {
    const next = random(1000 + seed);
    let count = 0;
    for (let i = 0; i < BATCH; i++) {
      const what = `seed ${seed}, file ${i}`;
      const text = mutateText(whole, next);
      const bvh = readBvh(text);
      if (!bvh.ok) {
        clear(bvh.message, what);
        expect(bvh.message, what).toMatch(/^Line \d+: /);
        continue;
      }
      const read = readClip(text, man);
      if (!read.ok) {
        clear(read.message, what);
        continue;
      }
      usable(read.clip, what);
      count++;
    }
    tally(count, seed);
  });
});

describe('damaged glTF files', () => {
  const stick = stickGltf();
  it.each(BATCHES)(`${BATCH} of them, seed %i`, async (seed) => {
    const next = random(2000 + seed);
    const small = readBvh(smallClip(3));
    if (!small.ok) throw new Error(small.message);
    const skinned = await asGlb(
      bvhAsGltf(small.clip, { unit: 0.01, askew: true, skin: { meshUnit: 100 } }),
    );
    const plain = await new WebIO().binaryToJSON(skinned);
    let count = 0;
    for (let i = 0; i < BATCH; i++) {
      const what = `seed ${seed}, file ${i}`;
      const kind = next();
      const bytes =
        kind < 0.4
          ? asGltf(mutateJson(stick, next))
          : kind < 0.6
            ? await asSpoiltGlb(skinned, mutateJson(plain.json, next))
            : kind < 0.8
              ? mutateBytes(skinned, next)
              : new TextEncoder().encode(mutateText(JSON.stringify(stick), next));
      const read = await readGltf(bytes, { ...man, fps: 3 });
      if (!read.ok) {
        clear(read.message, what);
        // A place in the file, or what is wrong with the skeleton as a whole.
        expect(read.message, what).toMatch(
          /^(?:[a-zA-Z]+(?:[.[][\w.[\]]+)?|the file|chunk \d|line \d+:\d+): |^(?:No two legs|The legs)/,
        );
        continue;
      }
      usable(read.clip, what);
      count++;
    }
    tally(count, seed);
  });
});

/** The same .glb with another JSON chunk. */
async function asSpoiltGlb(glb: Uint8Array, json: unknown): Promise<Uint8Array> {
  const view = new DataView(glb.buffer, glb.byteOffset, glb.byteLength);
  const binary = glb.subarray(20 + view.getUint32(12, true));
  const text = new TextEncoder().encode(JSON.stringify(json));
  const padded = new Uint8Array(Math.ceil(text.length / 4) * 4).fill(32);
  padded.set(text);
  const out = new Uint8Array(20 + padded.length + binary.length);
  out.set(glb.subarray(0, 20));
  out.set(padded, 20);
  out.set(binary, 20 + padded.length);
  const header = new DataView(out.buffer);
  header.setUint32(8, out.length, true);
  header.setUint32(12, padded.length, true);
  return out;
}

describe('damaged scene files', () => {
  const scenes = demoReview().shots.flatMap(({ drafts }) => drafts.map(({ scene }) => scene));
  it.each(BATCHES)(`${BATCH} of them, seed %i`, (seed) => {
    const next = random(3000 + seed);
    let count = 0;
    for (let i = 0; i < BATCH; i++) {
      const what = `seed ${seed}, file ${i}`;
      const whole = writeSceneJson(scenes[i % scenes.length]!);
      const text =
        next() < 0.5
          ? mutateText(whole, next)
          : JSON.stringify(mutateJson(JSON.parse(whole), next));
      const read = readSceneJson(text);
      if (read.ok) {
        for (const { body, pose } of read.scene.figures) {
          expect(pose.rotation.every(Number.isFinite), what).toBe(true);
          expect(buildBody(body).hipHeight, what).toBeGreaterThan(0);
        }
        count++;
      } else clear(read.message, what);
    }
    tally(count, seed);
  });
});

describe('damaged keypoint files', () => {
  const spec = { table: 'deleva-female', stature: 1.68, mass: 62 } as const;
  const points = (x: number): number[] =>
    pictured(spec, restPose(buildBody(spec)), { pixelsPerMetre: 300, origin: [x, 700] });
  const whole = {
    images: [{ id: 1 }, { id: 2 }],
    annotations: [
      { image_id: 1, track_id: 1, category_id: 1, keypoints: points(300) },
      { image_id: 1, track_id: 2, category_id: 1, keypoints: points(700) },
      { image_id: 2, track_id: 1, category_id: 1, keypoints: points(310) },
    ],
    categories: [{ id: 1, name: 'person' }],
  };
  it.each(BATCHES)(`${BATCH} of them, seed %i`, (seed) => {
    const next = random(4000 + seed);
    let count = 0;
    for (let i = 0; i < BATCH; i++) {
      const what = `seed ${seed}, file ${i}`;
      const text =
        next() < 0.5
          ? mutateText(JSON.stringify(whole), next)
          : JSON.stringify(mutateJson(whole, next));
      const read = readKeypoints(text, { ...man, lineUp: next() < 0.5 ? {} : { scale: 1 / 300 } });
      if (read.ok) {
        for (let frame = 0; frame < read.clip.frameCount; frame++) {
          for (const { pose } of read.clip.sceneAt(frame).figures) {
            const numbers = [
              ...pose.position,
              ...pose.rotation,
              ...Object.values(pose.joints).flat(),
            ];
            expect(numbers.every(Number.isFinite), what).toBe(true);
          }
        }
        for (const sentence of read.clip.report.sentences)
          expect(sentence, what).not.toMatch(/NaN|undefined/);
        count++;
        continue;
      }
      clear(read.message, what);
      expect(read.message, what).toMatch(
        /^(?:[\w.[\]]+|the file|line \d+:\d+|the file\.keypoints): /,
      );
    }
    tally(count, seed);
  });
});
