import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { assess } from '../../core/balance/index.ts';
import { TABLES } from '../../core/body/index.ts';
import { writeSceneJson } from '../../core/formats/index.ts';
import { demoReview } from '../../demo-data/index.ts';
import { stickGltf } from '../helpers/gltf-files.ts';
import { toldWith } from '../helpers/told.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

const draftOf = (code: string, number: number) => {
  const draft = demoReview().shots.find((shot) => shot.code === code)?.drafts[number - 1];
  if (draft === undefined) throw new Error(`the demo has no draft ${number} of ${code}`);
  return draft;
};

const porter = draftOf('SLT-0040', 3).scene;
const friends = draftOf('NST-0050', 7).scene;

/**
 * A clip whose figure is known: the joints of a standing body in centimetres (our own numbers), still
 * for three frames at 20 a second, hips 10 cm forward in the second.
 */
const CLIP = `HIERARCHY
ROOT Hips
{
  OFFSET 0 0 0
  CHANNELS 6 Xposition Yposition Zposition Zrotation Xrotation Yrotation
  JOINT Spine
  {
    OFFSET 0 15 0
    CHANNELS 3 Zrotation Xrotation Yrotation
    JOINT Head
    {
      OFFSET 0 43 0
      CHANNELS 3 Zrotation Xrotation Yrotation
      End Site
      {
        OFFSET 0 22 0
      }
    }
  }
  JOINT LeftUpLeg
  {
    OFFSET 8 0 0
    CHANNELS 3 Zrotation Xrotation Yrotation
    JOINT LeftLeg
    {
      OFFSET 0 -42 0
      CHANNELS 3 Zrotation Xrotation Yrotation
      JOINT LeftFoot
      {
        OFFSET 0 -42 0
        CHANNELS 3 Zrotation Xrotation Yrotation
        End Site
        {
          OFFSET 0 -5 14
        }
      }
    }
  }
  JOINT RightUpLeg
  {
    OFFSET -8 0 0
    CHANNELS 3 Zrotation Xrotation Yrotation
    JOINT RightLeg
    {
      OFFSET 0 -42 0
      CHANNELS 3 Zrotation Xrotation Yrotation
      JOINT RightFoot
      {
        OFFSET 0 -42 0
        CHANNELS 3 Zrotation Xrotation Yrotation
        End Site
        {
          OFFSET 0 -5 14
        }
      }
    }
  }
}
MOTION
Frames: 3
Frame Time: 0.05
${[0, 10, 0].map((z) => `0 91 ${z} ${'0 '.repeat(27)}`.trim()).join('\n')}
`;

const FILES: Readonly<Record<string, string>> = {
  'porter.json': writeSceneJson(porter, 'Porter'),
  'friends.json': writeSceneJson(friends),
  'broken.json': '{ "figures": [ }',
  'heavy.json': writeSceneJson(porter).replace('"mass": 62', '"mass": -62'),
  'still.bvh': CLIP,
  'cut.bvh': CLIP.slice(0, -40),
  'bow.gltf': JSON.stringify(stickGltf()),
  'broken.gltf': '{ "asset": { "version": "2.0" }, "nodes": [{ "children": [4] }] }',
  'rise.bvh': readFileSync(join(root, 'demo-data/clips/ferryman-rises.bvh'), 'utf8'),
};

const told = toldWith(FILES);

describe('weigh --json', () => {
  it('gives what assess gives, in the published shape', async () => {
    const { code, out, err } = await told('weigh', 'porter.json', '--json');
    const data = JSON.parse(out);
    const group = assess(porter).groups[0];
    expect({ code, err }).toEqual({ code: 0, err: [] });
    expect(data).toMatchObject({ source: 'porter.json', mass_kg: 96 });
    expect(data.frames).toHaveLength(1);
    expect(data.frames[0]).toMatchObject({ frame: 0, time_s: 0 });
    expect(data.frames[0].groups[0]).toMatchObject({
      members: ['porter', 'salt'],
      mass_kg: 96,
      centre_m: group?.centre,
      support_m: group?.support.polygon,
      margin_m: group?.margin?.distance,
      margin_ratio: group?.margin?.ratio,
      verdict: 'holds',
    });
  });

  it('gives every figure of a group alone as well', async () => {
    const { frames } = JSON.parse((await told('weigh', 'friends.json', '--json')).out);
    expect(frames[0].groups).toHaveLength(1);
    expect(
      frames[0].figures.map((f: { figure: string; verdict: string }) => [f.figure, f.verdict]),
    ).toEqual([
      ['friend', 'held'],
      ['gatherer', assess(friends).figures[1]?.verdict],
    ]);
  });

  it('takes a mass and a stature for a scene of one figure', async () => {
    const { out } = await told(
      'weigh',
      'porter.json',
      '--json',
      '--mass',
      '80',
      '--stature',
      '1.8',
    );
    expect(JSON.parse(out).mass_kg).toBe(114);
  });

  it('goes through the frames of a clip, with their times', async () => {
    const { out, err } = await told(
      'weigh',
      'still.bvh',
      '--json',
      '--mass',
      '60',
      '--stature',
      '1.7',
    );
    expect(err).toEqual([]);
    const data = JSON.parse(out);
    expect(data).toMatchObject({ mass_kg: 60, frame_rate: 20, frame_count: 3 });
    expect(data.frames.map((f: { frame: number; time_s: number }) => [f.frame, f.time_s])).toEqual([
      [0, 0],
      [1, 0.05],
      [2, 0.1],
    ]);
    const z = data.frames.map(
      (f: { groups: { centre_m: number[] }[] }) => f.groups[0]?.centre_m[2],
    );
    // 10 cm of a clip scaled by its own stature: the same share of it, within the scale's rounding.
    expect(z[1] - z[0]).toBeGreaterThan(0.08);
    expect(z[2]).toBeCloseTo(z[0], 9);
  });

  it('gives one frame when asked for one', async () => {
    const { out } = await told('weigh', 'still.bvh', '--json', '--frame', '1');
    expect(JSON.parse(out).frames.map((f: { frame: number }) => f.frame)).toEqual([1]);
  });
});

describe('weigh in sentences', () => {
  it('prints the sentence, the numbers and the caution', async () => {
    const { out, code } = await told('weigh', 'porter.json');
    expect(code).toBe(0);
    expect(out).toContain(
      `Salt porter and Frame pack of salt: ${assess(porter).groups[0]?.sentence}`,
    );
    expect(out).toContain('96 kg');
    expect(out.trimEnd().split('\n').at(-1)).toMatch(/no safety assessment of real people/);
  });

  it('says what was assumed about a clip', async () => {
    const { out } = await told('weigh', 'still.bvh');
    expect(out).toContain('weighed as 70 kg');
    expect(out).toContain('frames 0-2: ');
  });
});

describe('a clip weighed in motion', () => {
  const rise = (...more: string[]) => told('weigh', 'rise.bvh', '--mass', '68', ...more);

  it('gives the speeds of every frame beside the reading at rest', async () => {
    const { code, out } = await rise('--json');
    const { frames } = JSON.parse(out);
    expect([code, frames.length]).toEqual([0, 44]);
    const [group] = frames[20].groups;
    expect(group.motion).toMatchObject({ velocity_m_s: expect.any(Array) });
    // Hof, Gazendam & Sinke 2005, doi 10.1016/j.jbiomech.2004.03.025: it leads the plumb point by
    // v / sqrt(g / l); l is the height of the centre over the floor.
    const [, height, z] = group.centre_m;
    const { velocity_m_s: velocity, extrapolated_centre_m: extrapolated } = group.motion;
    expect(Math.abs(velocity[2])).toBeGreaterThan(0.05);
    expect(extrapolated[2] - z).toBeCloseTo(velocity[2] / Math.sqrt(9.81 / height), 3);
  });

  it('calls carried what speed takes over the feet and would fall if held', async () => {
    const { frames, motion } = JSON.parse((await rise('--json')).out);
    const carried = frames
      .map((frame: { groups: object[] }) => frame.groups[0])
      .filter(({ verdict }: { verdict: string }) => verdict === 'carried');
    expect(carried.length).toBeGreaterThan(4);
    for (const group of carried) {
      expect(group).toMatchObject({ verdict_at_rest: 'falls' });
      expect(group.margin_m).toBeLessThan(0);
      expect(group.motion.speed_has_m_s).toBeGreaterThan(group.motion.speed_needed_m_s);
    }
    expect(motion).toHaveLength(1);
    expect(motion[0].verdict_frames.carried).toBe(carried.length);
    expect((await rise()).out).toMatch(/^frames \d+-\d+: carried, margin of stability down to /m);
  });

  it('weighs one frame with the speed that its neighbours give it', async () => {
    const all = JSON.parse((await rise('--json')).out).frames;
    const one = JSON.parse((await rise('--json', '--frame', '8')).out).frames;
    expect(one).toEqual([all[8]]);
  });

  it('weighs held poses when asked to, and a handful of drawings in any case', async () => {
    const { out } = await rise('--at-rest', '--json');
    const groups = JSON.parse(out).frames.flatMap((frame: { groups: object[] }) => frame.groups);
    expect(groups.filter((group: object) => 'motion' in group)).toEqual([]);
    expect((await told('weigh', 'still.bvh')).out).toContain('speed is not counted');
  });

  it('prints one CSV row a frame and group, with the header first', async () => {
    const rows = (await rise('--csv')).out.trimEnd().split('\r\n');
    expect(rows).toHaveLength(45);
    expect(rows[0]).toMatch(/^source,frame,time_s,members,verdict,/);
    expect(rows[1]).toMatch(/^rise\.bvh,0,0,/);
  });

  it('draws the margin over the frames', async () => {
    const { code, written } = await rise('--strip', 'strip.svg');
    expect(code).toBe(0);
    expect(written['strip.svg']).toMatch(/^<svg [\s\S]*margin over 44 frames[\s\S]*<\/svg>\s*$/);
  });

  it('ends with code 1 where a named verdict occurs, and says at which frame', async () => {
    const at = (verdicts: string) => rise('--at-rest', '--fail-on', verdicts);
    const { frames } = JSON.parse((await rise('--at-rest', '--json')).out);
    const seen = new Set(
      frames.map((frame: { groups: { verdict: string }[] }) => frame.groups[0]?.verdict),
    );
    expect(seen).toContain('falls');
    const caught = await at('teeters,falls');
    expect(caught.code).toBe(1);
    expect(caught.err).toEqual([
      expect.stringMatching(
        /^counterlean: rise\.bvh: falls at frame 0 and \d+ more; teeters at frame \d+/,
      ),
    ]);
    expect(caught.out).toContain('falls');
    // Held still nothing is carried; in motion it is.
    expect(seen).not.toContain('carried');
    expect(await at('carried')).toMatchObject({ code: 0, err: [] });
    expect((await rise('--fail-on', 'carried')).code).toBe(1);
  });

  it('takes one pose for --fail-on as well', async () => {
    expect((await told('weigh', 'porter.json', '--fail-on', 'falls,teeters')).code).toBe(0);
    expect(await told('weigh', 'porter.json', '--fail-on', 'holds')).toMatchObject({
      code: 1,
      err: ['counterlean: porter.json: holds'],
    });
  });
});

describe('weigh --picture', () => {
  it('writes the drawing with the sentence in it, in plain colours', async () => {
    const { written, code } = await told('weigh', 'porter.json', '--picture', 'out.svg');
    expect(code).toBe(0);
    expect(written['out.svg']).toMatch(/^<svg .*<title>Porter<\/title><desc>Holds: .*<\/svg>$/s);
    expect(written['out.svg']).not.toContain('var(');
  });
});

describe('bad input ends with code 2 and one clear line', () => {
  it.each([
    [['weigh'], 'weigh needs a file: counterlean weigh FILE'],
    [
      ['wiegh', 'porter.json'],
      'there is no command "wiegh"; there is weigh, serve, sheet, keep, restore, lead-link',
    ],
    [['weigh', 'none.json'], 'none.json: there is no such file'],
    [
      ['weigh', 'porter.json', 'still.bvh'],
      'weigh reads one file at a time; "still.bvh" is one too many',
    ],
    [['weigh', 'porter.json', '--zap'], "weigh: Unknown option '--zap'"],
    [['weigh', 'porter.json', '--mass', 'much'], '--mass: expected a number above 0, got "much"'],
    [['weigh', 'porter.json', '--mass', '-3'], '--mass: expected a number above 0, got "-3"'],
    [
      ['weigh', 'porter.json', '--mass', '50000'],
      'porter.json: Mass must lie between 0.01 and 10000 kg, got 50000',
    ],
    [
      ['weigh', 'still.bvh', '--frame', '3'],
      'still.bvh: there is no frame 3; the file has frames 0 to 2',
    ],
    [
      ['weigh', 'still.bvh', '--frame', '1.5'],
      '--frame: expected a whole number of at least 0, got "1.5"',
    ],
    [
      ['weigh', 'porter.json', '--frame', '1'],
      'porter.json: there is no frame 1; the file has frame 0 only',
    ],
    [
      ['weigh', 'porter.json', '--table', 'mine'],
      `--table: expected one of ${TABLES.join(', ')}, got "mine"`,
    ],
    [
      ['weigh', 'friends.json', '--mass', '60'],
      '--mass, --stature and --table go with one figure; this scene has 2',
    ],
    [['weigh', 'broken.json'], 'broken.json: line 1:16: expected a value, found "}"'],
    [
      ['weigh', 'heavy.json'],
      'heavy.json: scene.figures[0].body.mass: expected a number above 0, got -62',
    ],
    [['weigh', 'none.glb'], 'none.glb: there is no such file'],
    [
      ['weigh', 'broken.gltf'],
      'broken.gltf: nodes[0].children[0]: there is no node 4; the last is 0',
    ],
    [
      ['weigh', 'bow.gltf', '--animation', 'Jump'],
      'bow.gltf: animations: there is no animation "Jump"; there is Bow',
    ],
    [
      ['weigh', 'bow.gltf', '--fps', '2000'],
      'bow.gltf: Frames a second must lie above 0 and up to 1000, got 2000',
    ],
    [
      ['weigh', 'walk.fbx'],
      'walk.fbx: expected a scene (.json) or a clip (.bvh, .glb, .gltf), got ".fbx"',
    ],
    [
      ['weigh', 'porter.json', '--strip', 'a.svg'],
      '--strip: porter.json is one pose; a strip needs the frames of a clip',
    ],
    [
      ['weigh', 'still.bvh', '--strip', 'a.svg', '--frame', '1'],
      '--strip shows all frames of a clip and does not go with --frame',
    ],
    [
      ['weigh', 'still.bvh', '--strip', 'nowhere/a.svg'],
      'nowhere/a.svg: the strip cannot be written (ENOENT)',
    ],
    [
      ['weigh', 'porter.json', '--json', '--csv'],
      '--json and --csv are two ways to print; give one of them',
    ],
    [
      ['weigh', 'porter.json', '--fail-on', 'wobbles'],
      '--fail-on: expected some of holds, teeters, falls, airborne, carried, held, cannot-tell, with commas, got "wobbles"',
    ],
    [
      ['weigh', 'porter.json', '--picture', 'nowhere/a.svg'],
      'nowhere/a.svg: the picture cannot be written (ENOENT)',
    ],
  ])('%j', async (argv, message) => {
    const { code, out, err } = await told(...argv);
    expect({ code, out, err }).toEqual({ code: 2, out: '', err: [`counterlean: ${message}`] });
  });

  it('names the line of a broken clip', async () => {
    const { code, err } = await told('weigh', 'cut.bvh');
    expect(code).toBe(2);
    expect(err).toHaveLength(1);
    expect(err[0]).toMatch(/^counterlean: cut\.bvh: line \d+: /);
  });
});
