import { WebIO } from '@gltf-transform/core';
import { describe, expect, it } from 'vitest';
import { readGltf } from '../../../core/formats/index.ts';
import { asGlb, asGltf, dataUri, stickGltf } from '../../helpers/gltf-files.ts';

async function refusal(bytes: Uint8Array): Promise<string> {
  const result = await readGltf(bytes, { mass: 70, table: 'deleva-male' });
  return result.ok ? 'it was read' : result.message;
}

describe('a malformed file is told with the place', () => {
  type Stick = ReturnType<typeof stickGltf>;
  // biome-ignore lint/suspicious/noExplicitAny: spoiling a file means writing what the type forbids
  const spoilt = (change: (json: any) => void): Uint8Array => {
    const json: Stick = stickGltf();
    change(json);
    return asGltf(json);
  };
  it.each<[string, Uint8Array, string]>([
    ['nothing', new Uint8Array(), 'line 1:1: expected a glTF file, but the file is empty'],
    ['text', new TextEncoder().encode('{ "asset": }'), 'line 1:12: expected a value, found "}"'],
    [
      'another version',
      spoilt((j) => {
        j.asset.version = '1.0';
      }),
      'asset.version: expected 2.x, got "1.0"',
    ],
    [
      'no asset',
      spoilt((j) => {
        delete j.asset;
      }),
      'asset: expected an object { ... }, got nothing',
    ],
    [
      'a word for a number',
      spoilt((j) => {
        j.nodes[4].translation[1] = 'down';
      }),
      'nodes[4].translation[1]: expected a number, got "down"',
    ],
    [
      'a child that is not there',
      spoilt((j) => {
        j.nodes[2].children = [40];
      }),
      'nodes[2].children[0]: there is no node 40; the last is 14',
    ],
    [
      'two parents',
      spoilt((j) => {
        j.nodes[2].children = [5];
      }),
      'nodes[4].children[0]: node 5 is a child of node 2 already',
    ],
    [
      'a circle',
      spoilt((j) => {
        j.nodes[0].children = [1, 3];
        j.nodes[8].children = [6];
      }),
      'nodes[6].children: the nodes go round in a circle',
    ],
    [
      'its own child',
      spoilt((j) => {
        j.nodes[5].children = [5];
      }),
      'nodes[5].children[0]: a node cannot be its own child',
    ],
    [
      'an accessor that is not there',
      spoilt((j) => {
        j.animations[0].samplers[0].output = 7;
      }),
      'animations[0].samplers[0].output: there is no accessor 7; the last is 1',
    ],
    [
      'a sampler that is not there',
      spoilt((j) => {
        j.animations[0].channels[0].sampler = 3;
      }),
      'animations[0].channels[0].sampler: there is no sampler 3; the last is 0',
    ],
    [
      'a node that is not there',
      spoilt((j) => {
        j.animations[0].channels[0].target.node = 99;
      }),
      'animations[0].channels[0].target.node: there is no node 99; the last is 14',
    ],
    [
      'keys of the wrong kind',
      spoilt((j) => {
        j.animations[0].channels[0].target.path = 'scale';
      }),
      'animations[0].samplers[0].output: a scale needs VEC3, accessor 1 holds VEC4',
    ],
    [
      'too few keys',
      spoilt((j) => {
        j.accessors[1].count = 2;
      }),
      'animations[0].samplers[0].output: 3 keys need 3 values, there are 2',
    ],
    [
      'a spline without tangents',
      spoilt((j) => {
        j.animations[0].samplers[0].interpolation = 'CUBICSPLINE';
      }),
      'animations[0].samplers[0].output: 3 keys need 9 values (three a key for CUBICSPLINE), there are 3',
    ],
    [
      'an unknown interpolation',
      spoilt((j) => {
        j.animations[0].samplers[0].interpolation = 'SMOOTH';
      }),
      'animations[0].samplers[0].interpolation: expected one of LINEAR, STEP, CUBICSPLINE, got "SMOOTH"',
    ],
    [
      'times that go back',
      spoilt((j) => {
        j.accessors[0].byteOffset = 0;
        j.bufferViews[0] = { buffer: 0, byteOffset: 8, byteLength: 12 };
      }),
      'animations[0].samplers[0].input: key 1 is at 0 s; times must rise from 0 on',
    ],
    [
      'a view beyond the buffer',
      spoilt((j) => {
        j.bufferViews[1].byteLength = 4000;
      }),
      'bufferViews[1]: it ends at byte 4012, buffer 0 has 60',
    ],
    [
      'an accessor beyond its view',
      spoilt((j) => {
        j.accessors[1].byteOffset = 4;
      }),
      'accessors[1]: it needs 52 bytes of bufferView 1, which has 48',
    ],
    [
      'a short buffer',
      spoilt((j) => {
        j.buffers[0].uri = dataUri([1]);
      }),
      'buffers[0].byteLength: the file says 60 bytes, there are 4',
    ],
    [
      'a broken data URI',
      spoilt((j) => {
        j.buffers[0].uri = 'data:;base64,***';
      }),
      'buffers[0].uri: expected a data URI of base64',
    ],
    [
      'no side file',
      spoilt((j) => {
        j.buffers[0].uri = 'keys.bin';
      }),
      'buffers[0].uri: the side file "keys.bin" is not here; hand it in with the .gltf, or export one .glb',
    ],
    [
      'a buffer from nowhere',
      spoilt((j) => {
        delete j.buffers[0].uri;
      }),
      'buffers[0].uri: it has no uri, and the file has no binary chunk for it',
    ],
    [
      'packed numbers',
      spoilt((j) => {
        j.extensionsRequired = ['EXT_meshopt_compression'];
      }),
      'extensionsRequired: the file is packed by EXT_meshopt_compression; export it without packing',
    ],
    [
      'a skin without joints',
      spoilt((j) => {
        j.skins = [{ joints: [] }];
      }),
      'skins[0].joints: expected a list of 1, got a list of 0',
    ],
    [
      'bind matrices of another kind',
      spoilt((j) => {
        j.skins = [{ joints: [0], inverseBindMatrices: 1 }];
      }),
      'skins[0].inverseBindMatrices: accessor 1 must hold MAT4 of floats, it holds VEC4',
    ],
    [
      'no legs',
      spoilt((j) => {
        j.nodes = j.nodes.slice(0, 3);
        j.nodes[0].children = [1];
        j.nodes[1].children = [2];
      }),
      'No two legs were found in the skeleton. Name the joints of each leg, for instance LeftUpLeg, LeftLeg, LeftFoot; nothing was changed.',
    ],
    [
      'a number too large for one',
      new TextEncoder().encode(JSON.stringify(stickGltf()).replace('-0.42', '-1e999')),
      'nodes[4].translation[1]: expected a number, got -Infinity',
    ],
  ])('%s', async (_, bytes, message) => {
    expect(await refusal(bytes)).toBe(message);
  });

  it('and so is a cut or foreign .glb', async () => {
    const document = await new WebIO().readJSON({
      json: stickGltf() as unknown as Parameters<WebIO['readJSON']>[0]['json'],
      resources: {},
    });
    const glb = await asGlb(document);
    expect(await refusal(glb)).toBe('it was read');
    expect(await refusal(glb.slice(0, glb.length - 20))).toMatch(
      /^header: the file says \d+ bytes and ends after \d+; fetch or export it again$/,
    );
    expect(await refusal(glb.slice(0, 15))).toMatch(/^header: a \.glb has at least 20 bytes/);
    const older = glb.slice();
    older[4] = 1;
    expect(await refusal(older)).toBe('header: expected version 2 of the container, got 1');
    const odd = glb.slice();
    odd[16] = 0x41;
    expect(await refusal(odd)).toBe('chunk 0: expected the JSON chunk first');
  });
});
