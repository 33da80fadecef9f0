import { describe, expect, it } from 'vitest';
import { type BodySpec, buildBody } from '../../core/body/index.ts';
import { restPose } from '../../core/pose/index.ts';
import { stickGltf } from '../helpers/gltf-files.ts';
import { pictured } from '../helpers/keypoint-files.ts';
import { toldWith } from '../helpers/told.ts';

const WOMAN: BodySpec = { table: 'deleva-female', stature: 1.68, mass: 62 };
const SHUTTER = { pixelsPerMetre: 400, origin: [600, 800] } as const;

const told = toldWith({
  'bow.gltf': JSON.stringify(stickGltf()),
  'clips/apart.gltf': JSON.stringify({
    ...stickGltf(),
    buffers: [{ uri: 'keys/bow.bin', byteLength: 60 }],
  }),
  // Sixty bytes that are zeros as numbers: times that do not rise.
  'clips/keys/bow.bin': '\0'.repeat(60),
  'stands.json': JSON.stringify({
    annotations: [{ keypoints: pictured(WOMAN, restPose(buildBody(WOMAN)), SHUTTER) }],
  }),
});

describe('weigh of a glTF clip', () => {
  it('weighs it in motion at its own size', async () => {
    const { code, out, err } = await told('weigh', 'bow.gltf', '--json', '--mass', '60');
    expect({ code, err }).toEqual({ code: 0, err: [] });
    const data = JSON.parse(out);
    expect(data).toMatchObject({ mass_kg: 60, frame_rate: 24, frame_count: 25 });
    expect(data.weighed).toBe('in motion');
    expect(data.frames[12].groups[0].motion.velocity_m_s).toHaveLength(3);
    // The trunk bends forwards by 40 degrees until frame 12.
    const forward = (frame: number) => data.frames[frame].groups[0].centre_m[2];
    expect(forward(12) - forward(0)).toBeGreaterThan(0.05);
    expect(data.remarks.join(' ')).toContain('The file is in metres');
  });

  it('takes frames a second, and looks for side files beside the clip', async () => {
    const { out } = await told('weigh', 'bow.gltf', '--json', '--fps', '12', '--animation', 'Bow');
    expect(JSON.parse(out)).toMatchObject({ frame_rate: 12, frame_count: 13 });
    const { err } = await told('weigh', 'clips/apart.gltf');
    expect(err).toEqual([
      'counterlean: clips/apart.gltf: animations[0].samplers[0].input: key 1 is at 0 s; times must rise from 0 on',
    ]);
  });
});

describe('weigh of keypoints', () => {
  it('says what one picture can tell, and what it cannot', async () => {
    const { code, out, err } = await told('weigh', 'stands.json', '--scale', '0.0025');
    expect({ code, err }).toEqual({ code: 0, err: [] });
    expect(out).toContain('Cannot tell: along the picture the plumb line lands');
    expect(out).toContain('until you set the base of Person 1');
    const own = ['weigh', 'stands.json', '--stature', '1.68', '--table', 'deleva-female'];
    const { frames } = JSON.parse((await told(...own, '--json')).out);
    expect(frames[0].groups[0]).toMatchObject({ verdict: 'unknown', verdict_at_rest: 'holds' });
    expect(frames[0].figures[0]).toMatchObject({ verdict: 'unknown', verdict_at_rest: 'holds' });
    const fails = await told('weigh', 'stands.json', '--fail-on', 'cannot-tell');
    expect([fails.code, fails.err]).toEqual([1, ['counterlean: stands.json: cannot tell']]);
  });

  it('takes the scale, the standing height and the tilt', async () => {
    const { out } = await told('weigh', 'stands.json', '--standing', '672', '--stature', '1.68');
    expect(out).toContain('2.50 mm a pixel, from the standing height');
    const tilted = await told('weigh', 'stands.json', '--tilt', '-4');
    expect(tilted.out).toContain('True up leans 4.0\u00b0 to the left');
    expect((await told('weigh', 'stands.json', '--tilt', '90')).err).toEqual([
      'counterlean: --tilt: expected a number below 90, got "90"',
    ]);
  });
});
