import { readFileSync } from 'node:fs';
import { Document, WebIO } from '@gltf-transform/core';
import { describe, expect, it } from 'vitest';
import { bvhJointPositions } from '../../../core/formats/bvh-pose.ts';
import type { BvhClip } from '../../../core/formats/bvh-types.ts';
import {
  type Clip,
  type ClipMotion,
  type ClipOptions,
  type GltfSettings,
  gltfSideFiles,
  readBvh,
  readClip,
  readGltf,
  readGltfMotion,
} from '../../../core/formats/index.ts';
import { distance, rotate, scale, type Vec3 } from '../../../core/geometry/index.ts';
import { poseFigure } from '../../../core/pose/index.ts';
import {
  asGlb,
  asGltf,
  type BvhAsGltf,
  bvhAsGltf,
  dataUri,
  stickGltf,
} from '../../helpers/gltf-files.ts';

const fixtures = new URL('../../fixtures/clips/', import.meta.url);
const walkText = readFileSync(new URL('cmu_02_01_walk.bvh', fixtures), 'utf8');
const read = readBvh(walkText);
if (!read.ok) throw new Error(read.message);
const walk: BvhClip = read.clip;

/** Metres in a unit of that file (2.54 cm / 0.45). */
const UNIT = 0.0564444;
const man: ClipOptions = { mass: 70, table: 'deleva-male' };

async function motionOf(bytes: Uint8Array, settings: GltfSettings = {}) {
  const result = await readGltfMotion(bytes, settings);
  if (!result.ok) throw new Error(result.message);
  return result;
}
async function clipOf(bytes: Uint8Array, options: ClipOptions & GltfSettings = man): Promise<Clip> {
  const result = await readGltf(bytes, options);
  if (!result.ok) throw new Error(result.message);
  return result.clip;
}
async function refusal(bytes: Uint8Array, settings: GltfSettings = {}): Promise<string> {
  const result = await readGltf(bytes, { ...man, ...settings });
  return result.ok ? 'it was read' : result.message;
}
const placeOf = (motion: ClipMotion, name: string, frame: number): Vec3 => {
  const at = motion.joints.findIndex((joint) => joint.name === name);
  const placed = motion.placedAt(frame)[at];
  if (!placed) throw new Error(`no joint ${name}`);
  return placed.position;
};

const SOME = [0, 40, 117, 200, 301, 342];

describe('the given BVH written as glTF', () => {
  it.each<[string, Omit<BvhAsGltf, 'unit'>]>([
    ['nodes alone', {}],
    ['with bones whose axes lie askew', { askew: true }],
    ['with a skin', { askew: true, skin: { meshUnit: 1 } }],
    ['under an armature that is scaled by 100 and turned', { askew: true, armature: true }],
    [
      'with armature and a skin in centimetres',
      { askew: true, armature: true, skin: { meshUnit: 100 } },
    ],
  ])('%s: joints are where the BVH has them, to 0.1 mm', async (_, options) => {
    const bytes = await asGlb(bvhAsGltf(walk, { unit: UNIT, ...options }));
    const { motion } = await motionOf(bytes);
    expect(motion.frameCount).toBe(walk.frameCount);
    expect(1 / motion.frameTime).toBeCloseTo(1 / walk.frameTime, 1);
    for (const frame of SOME) {
      const places = bvhJointPositions(walk, frame);
      for (const { name } of walk.joints) {
        const miss = distance(placeOf(motion, name, frame), scale(places.get(name) as Vec3, UNIT));
        expect(miss, `${name} at ${frame}`).toBeLessThan(1e-4);
      }
    }
  });

  it('makes the same figure as the BVH read itself: joints, scene and report', async () => {
    const fromBvh = readClip(walkText, { ...man, scale: UNIT });
    if (!fromBvh.ok) throw new Error(fromBvh.message);
    for (const options of [{}, { askew: true, armature: true, skin: { meshUnit: 100 } }]) {
      const clip = await clipOf(await asGlb(bvhAsGltf(walk, { unit: UNIT, ...options })));
      expect(clip.report.mapping).toEqual(fromBvh.clip.report.mapping);
      expect(clip.report.scale).toBe(1);
      expect(clip.report.stature).toBeCloseTo(fromBvh.clip.report.stature, 3);
      for (const frame of SOME) {
        const a = poseFigure(clip.body, clip.poseAt(frame));
        const b = poseFigure(fromBvh.clip.body, fromBvh.clip.poseAt(frame));
        for (const segment of ['head', 'handL', 'footR', 'toesR'] as const) {
          const miss = distance(a.segments[segment].position, b.segments[segment].position);
          expect(miss, `${segment} at ${frame}`).toBeLessThan(2e-3);
        }
      }
      expect(clip.sceneAt(5).figures[0]?.contacts).toEqual({});
      expect(clip.report.sentences.join(' ')).toContain(
        'The file is in metres: the figure is about 1.5',
      );
    }
  });

  it('tells where its own world lies in the scene', async () => {
    const clip = await clipOf(await asGlb(bvhAsGltf(walk, { unit: UNIT })));
    const { motion } = await motionOf(await asGlb(bvhAsGltf(walk, { unit: UNIT })));
    const { position, rotation, scale: size } = clip.placementAt(100);
    const knee = rotate(rotation, scale(placeOf(motion, 'LeftLeg', 100), size));
    const inScene: Vec3 = [knee[0] + position[0], knee[1] + position[1], knee[2] + position[2]];
    const posed = poseFigure(clip.body, clip.poseAt(100));
    expect(distance(inScene, posed.segments.shankL.position)).toBeLessThan(0.01);
  });
});

describe('a hand-written .gltf', () => {
  it('is read from a data URI, a side file, or a binary chunk alike', async () => {
    const json = stickGltf();
    const bytes = Buffer.from((json.buffers[0]?.uri ?? '').split(',')[1] ?? '', 'base64');
    const beside = { ...json, buffers: [{ uri: 'bow%20keys.bin', byteLength: bytes.length }] };
    const inside = await motionOf(asGltf(json));
    const side = await motionOf(asGltf(beside), { files: new Map([['bow keys.bin', bytes]]) });
    const document = await new WebIO().readJSON({
      json: json as unknown as Parameters<WebIO['readJSON']>[0]['json'],
      resources: {},
    });
    const binary = await motionOf(await asGlb(document));
    for (const { motion } of [inside, side, binary]) {
      expect(motion.frameCount).toBe(25);
      expect(placeOf(motion, 'Head', 12)[2]).toBeCloseTo(0.3 * Math.sin((40 * Math.PI) / 180), 5);
    }
  });

  // Bent by 40 degrees half-way and 10 at the end; a quarter of a second lies between the first two keys.
  it.each([
    ['LINEAR', 20],
    ['STEP', 0],
    // Hermite basis at 1/2 with level tangents: the mean of two quaternions, at unit length again.
    ['CUBICSPLINE', 20],
  ] as const)('%s keys', async (interpolation, degrees) => {
    const { motion, remarks } = await motionOf(asGltf(stickGltf(interpolation)));
    expect(remarks.join(' ')).toContain('read at 24 a second');
    const bend = (degrees * Math.PI) / 180;
    expect(placeOf(motion, 'Head', 6)[2]).toBeCloseTo(0.3 * Math.sin(bend), 5);
    expect(placeOf(motion, 'Head', 24)[2]).toBeCloseTo(0.3 * Math.sin(Math.PI / 18), 5);
  });

  it('CUBICSPLINE tangents are per second', async () => {
    // A hip path from 0 to 0 over 0.5 s that leaves at 2 m/s: half-way t (1 - t)^2 at 1/2 times span and speed.
    const json = stickGltf();
    const keys = [0, 0, 0, 0, 0.92, 0, 2, 0, 0, 0, 0, 0, 0, 0.92, 0, 0, 0, 0];
    const numbers = [0, 0.5, ...keys];
    const spline = {
      ...json,
      animations: [
        {
          channels: [{ sampler: 0, target: { node: 0, path: 'translation' } }],
          samplers: [{ input: 0, output: 1, interpolation: 'CUBICSPLINE' }],
        },
      ],
      accessors: [
        { bufferView: 0, componentType: 5126, count: 2, type: 'SCALAR' },
        { bufferView: 0, byteOffset: 8, componentType: 5126, count: 6, type: 'VEC3' },
      ],
      bufferViews: [{ buffer: 0, byteLength: 4 * numbers.length }],
      buffers: [{ uri: dataUri(numbers), byteLength: 4 * numbers.length }],
    };
    const { motion } = await motionOf(asGltf(spline));
    expect(placeOf(motion, 'Hips', 6)[0]).toBeCloseTo(0.5 * 2 * 0.125, 6);
  });

  it('is read at the frames a second that are asked for', async () => {
    const { motion } = await motionOf(asGltf(stickGltf()), { fps: 48 });
    expect([motion.frameCount, 1 / motion.frameTime]).toEqual([49, 48]);
    expect(placeOf(motion, 'Head', 24)[2]).toBeCloseTo(0.3 * Math.sin((40 * Math.PI) / 180), 5);
    await expect(motionOf(asGltf(stickGltf()), { fps: 0 })).rejects.toThrow(RangeError);
  });

  it('normalised, strided and sparse keys mean the same', async () => {
    // One unsigned short turn a key in rows of 12 bytes, the second key put in by a sparse accessor.
    const json = stickGltf();
    const bytes = new Uint8Array(12 + 3 * 12 + 4 + 8);
    const view = new DataView(bytes.buffer);
    [0, 0.5, 1].forEach((time, i) => {
      view.setFloat32(4 * i, time, true);
    });
    const put = (at: number, degrees: number): void => {
      const half = (degrees * Math.PI) / 360;
      view.setInt16(at, Math.round(Math.sin(half) * 32767), true);
      view.setInt16(at + 6, Math.round(Math.cos(half) * 32767), true);
    };
    put(12, 0);
    put(24, 90);
    put(36, 10);
    view.setUint8(48, 1);
    put(52, 40);
    const packed = {
      ...json,
      accessors: [
        json.accessors[0],
        {
          ...{ bufferView: 1, componentType: 5122, normalized: true, count: 3, type: 'VEC4' },
          sparse: {
            count: 1,
            indices: { bufferView: 2, componentType: 5121 },
            values: { bufferView: 3 },
          },
        },
      ],
      bufferViews: [
        { buffer: 0, byteLength: 12 },
        { buffer: 0, byteOffset: 12, byteLength: 36, byteStride: 12 },
        { buffer: 0, byteOffset: 48, byteLength: 1 },
        { buffer: 0, byteOffset: 52, byteLength: 8 },
      ],
      buffers: [
        {
          uri: `data:;base64,${Buffer.from(bytes).toString('base64')}`,
          byteLength: bytes.length,
        },
      ],
    };
    const { motion } = await motionOf(asGltf(packed));
    expect(placeOf(motion, 'Head', 12)[2]).toBeCloseTo(0.3 * Math.sin((40 * Math.PI) / 180), 3);
  });

  it('without an animation is one pose, and stands on its feet', async () => {
    const clip = await clipOf(asGltf({ ...stickGltf(), animations: [] }));
    expect(clip.frameCount).toBe(1);
    expect(clip.report.sentences.join(' ')).toContain('no animation: it is one pose');
    expect(clip.report.scale).toBe(1);
  });

  it('takes a stature over its own size, and finds another unit than the metre out', async () => {
    const tall = await clipOf(asGltf(stickGltf()), { ...man, stature: 1.9 });
    expect(tall.body.spec.stature).toBeCloseTo(1.9, 1);
    const json = stickGltf();
    const nodes = json.nodes.map((node) => ({
      ...node,
      translation: scale(node.translation, 100),
    }));
    const cm = await clipOf(asGltf({ ...json, nodes }));
    expect(cm.report.scale).toBeCloseTo(0.01, 3);
    expect(cm.report.sentences.join(' ')).toContain('No stature or scale given');
  });

  it('reads the animation that is asked for, by name or number', async () => {
    const json = stickGltf();
    const [bow] = json.animations;
    const two = {
      ...json,
      animations: [
        bow,
        {
          name: 'Sway',
          channels: [{ sampler: 0, target: { node: 0, path: 'rotation' } }],
          samplers: bow?.samplers ?? [],
        },
      ],
    };
    const plain = await motionOf(asGltf(two));
    expect(plain.remarks).toContain('Animation Bow is read; the file holds 2.');
    const sway = await motionOf(asGltf(two), { animation: 'Sway' });
    const second = await motionOf(asGltf(two), { animation: '1' });
    expect(placeOf(sway.motion, 'Head', 12)[2]).toBeGreaterThan(0.3);
    expect(placeOf(second.motion, 'Head', 12)).toEqual(placeOf(sway.motion, 'Head', 12));
    expect(await refusal(asGltf(two), { animation: 'Jump' })).toBe(
      'animations: there is no animation "Jump"; there is Bow, Sway',
    );
  });

  it('leaves meshes, pictures and unknown extensions alone, also broken ones', async () => {
    const json = {
      ...stickGltf(),
      meshes: [{ primitives: [{ attributes: { POSITION: 99 } }] }],
      images: [{ uri: 'not-here.png' }],
      extensionsRequired: ['EXT_of_a_mesh_only'],
      extensions: { anything: [] },
    };
    expect((await motionOf(asGltf(json))).motion.frameCount).toBe(25);
  });

  it('of several figures takes one and says so', async () => {
    const one = stickGltf();
    const count = one.nodes.length;
    const nodes = [0, 1].flatMap((k) =>
      one.nodes.map((node) => ({
        ...node,
        ...('children' in node ? { children: node.children?.map((i) => i + k * count) } : {}),
      })),
    );
    const { remarks } = await motionOf(asGltf({ ...one, nodes }));
    expect(remarks.join(' ')).toContain('1 more figure stands in the file');
  });
});

describe('a skin', () => {
  it('an unreadable bind pose is no end of it: the nodes take its place', async () => {
    const document = bvhAsGltf(walk, { unit: UNIT, frames: [0, 1, 2], skin: { meshUnit: 1 } });
    document.getRoot().listSkins()[0]?.getInverseBindMatrices()?.getArray()?.fill(0);
    const { remarks, motion } = await motionOf(await asGlb(document));
    expect(remarks.join(' ')).toContain('cannot be read: the nodes as they stand');
    expect(motion.joints).toHaveLength(walk.joints.length);
  });
});

describe('side files', () => {
  it('are named, so that they can be asked for; data URIs and broken files name none', async () => {
    const json = stickGltf();
    const beside = { ...json, buffers: [{ uri: 'a%20b.bin', byteLength: 60 }, ...json.buffers] };
    expect(await gltfSideFiles(asGltf(beside))).toEqual(['a b.bin']);
    expect(await gltfSideFiles(asGltf(json))).toEqual([]);
    expect(await gltfSideFiles(new Uint8Array([1, 2, 3]))).toEqual([]);
  });
});

describe('sizes', () => {
  it('refuses a mass out of range by a RangeError, as for any clip', async () => {
    await expect(readGltf(asGltf(stickGltf()), { ...man, mass: 0 })).rejects.toThrow(RangeError);
    expect(await refusal(asGltf(stickGltf()), { fps: 1000 })).toBe('it was read');
  });

  it('an empty document has no skeleton', async () => {
    expect(await refusal(await asGlb(new Document()))).toBe(
      'nodes: there is no node, so there is no skeleton',
    );
  });
});
