import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { bvhJointPositions, readBvh } from '../../../core/formats/index.ts';
import { random } from '../../helpers/random.ts';

const fixtures = new URL('../../fixtures/clips/', import.meta.url);
const shared = new URL('../../../../shared/reference/clips/', import.meta.url);

interface Expected {
  readonly file: string;
  readonly frames: number;
  readonly frame_time_s: number;
  readonly joints: readonly string[];
  readonly samples: readonly {
    readonly frame: number;
    readonly world_file_units: Record<string, readonly [number, number, number]>;
  }[];
}
const { clips } = JSON.parse(readFileSync(new URL('joint-positions.json', fixtures), 'utf8')) as {
  clips: readonly Expected[];
};

describe('joint positions of recorded clips (worked out by a separate numpy program)', () => {
  for (const expected of clips) {
    const place = [fixtures, shared]
      .map((base) => new URL(expected.file, base))
      .find((url) => existsSync(url));
    if (!place) console.info(`skipped: ${expected.file} is not in ../shared/reference/clips`);
    it.skipIf(!place)(`${expected.file} within 1e-4 m`, () => {
      const read = readBvh(readFileSync(place as URL, 'utf8'));
      if (!read.ok) throw new Error(read.message);
      const { clip } = read;
      expect(clip.frameCount).toBe(expected.frames);
      expect(clip.frameTime).toBeCloseTo(expected.frame_time_s, 6);
      expect(clip.joints.map(({ name }) => name)).toEqual(expected.joints);
      let compared = 0;
      for (const { frame, world_file_units } of expected.samples) {
        const places = bvhJointPositions(clip, frame);
        for (const [joint, point] of Object.entries(world_file_units)) {
          point.forEach((value, axis) => {
            // 1 unit = 0.0564444 m.
            expect(
              Math.abs((places.get(joint)?.[axis] ?? Number.NaN) - value) * 0.0564444,
              `${joint}, frame ${frame}`,
            ).toBeLessThan(1e-4);
            compared++;
          });
        }
      }
      expect(compared).toBeGreaterThan(200);
    });
  }
});

const SMALL = `HIERARCHY
ROOT Hips
{
  OFFSET 0 0 0
  CHANNELS 6 Xposition Yposition Zposition Zrotation Xrotation Yrotation
  JOINT Left Up Leg
  {
    OFFSET 1 -1 0
    CHANNELS 3 Yrotation Zrotation Xrotation
    End Site
    {
      OFFSET 0 -4 0
    }
  }
}
MOTION
Frames: 2
Frame Time: 0.0416667
0 10 0 0 0 0 0 0 0
1 10 0 0 0 90 0 0 -90
`;
const must = (text: string) => {
  const read = readBvh(text);
  if (!read.ok) throw new Error(read.message);
  return read.clip;
};

describe('the rules of the format', () => {
  it('reads names with spaces, any order of channels, End Sites', () => {
    const places = bvhJointPositions(must(SMALL), 1);
    const near = (name: string, x: number, y: number, z: number) => {
      const place = places.get(name) ?? [Number.NaN, 0, 0];
      [x, y, z].forEach((value, i) => {
        expect(place[i]).toBeCloseTo(value, 12);
      });
    };
    // Worked by hand: a quarter turn of the root about y takes its left (+x) to the world's back (-z) and
    // its front to the world's left (+x); the leg's quarter turn about -x takes down to the front.
    near('Hips', 1, 10, 0);
    near('Left Up Leg', 1, 9, -1);
    near('Left Up Leg_end', 5, 9, -1);
  });

  it('takes tabs, Windows and old Macintosh line ends, a byte order mark, exponents, lower case, braces on the line', () => {
    const clip = must(SMALL);
    const variants = [
      SMALL.replace(/\n/g, '\r\n'),
      SMALL.replace(/\n/g, '\r'),
      SMALL.replace(/ {2}/g, '\t').replace(/ (?=[-\d])/g, '\t'),
      `\ufeff${SMALL}`,
      SMALL.replace('0.0416667', '4.16667e-2').replace('1 10 0', '1e0 +1.0E+1 .0'),
      SMALL.replace('HIERARCHY', 'Hierarchy')
        .replace('ROOT', 'root')
        .replace('End Site', 'end site')
        .replace('Frame Time', 'frame time')
        .replace('Xrotation Yrotation', 'XROTATION yrotation'),
      SMALL.replace('ROOT Hips\n{', 'ROOT Hips {').replace(/\n\s*End Site\n\s*{/, '\n End Site {'),
      `\n\n${SMALL}\n   \n`,
    ];
    for (const text of variants) expect(must(text)).toEqual(clip);
  });

  it('takes joints with 6 channels: places that repeat the OFFSET stand for it, small ones add to it', () => {
    const six = (x: number) =>
      SMALL.replace('CHANNELS 3 Yrotation', 'CHANNELS 6 Xposition Yposition Zposition Yrotation')
        .replace('0 10 0 0 0 0 0 0 0', `0 10 0 0 0 0 ${x} -1 0 0 0 0`)
        .replace('0 0 90 0 0 -90', '0 0 90 1 -1 0 0 0 -90');
    expect(bvhJointPositions(must(six(1)), 0).get('Left Up Leg')).toEqual([1, 9, 0]);
    const added = SMALL.replace('CHANNELS 3 Yrotation', 'CHANNELS 4 Xposition Yrotation')
      .replace('0 10 0 0 0 0 0 0 0', '0 10 0 0 0 0 0.1 0 0 0')
      .replace('0 0 90 0 0 -90', '0 0 90 0 0 0 -90');
    expect(bvhJointPositions(must(added), 0).get('Left Up Leg')).toEqual([1.1, 9, 0]);
  });

  it('reads a thousand nested joints no deeper than its limit, without a stack', () => {
    const deep = (n: number) =>
      `HIERARCHY\nROOT a\n{\nOFFSET 0 0 0\nCHANNELS 0\n${'JOINT b\n{\nOFFSET 0 1 0\nCHANNELS 0\n'.repeat(n)}${'}\n'.repeat(n + 1)}MOTION\nFrames: 1\nFrame Time: 1\n`;
    expect(must(deep(500)).joints).toHaveLength(501);
    expect(readBvh(deep(100_000))).toMatchObject({
      ok: false,
      message: expect.stringContaining('More than 512 joints'),
    });
  });
});

describe('malformed files: the line, what was expected, the mend', () => {
  const cases: readonly [what: string, text: string, line: number, says: RegExp][] = [
    ['another kind of file', '{"asset": {}}', 1, /Expected "HIERARCHY", found/],
    ['nothing', '', 1, /ends where "HIERARCHY" was expected/],
    ['no ROOT', SMALL.replace('ROOT Hips', 'JOINT Hips'), 2, /Expected "ROOT", found "JOINT"/],
    ['a root without a name', SMALL.replace('ROOT Hips', 'ROOT'), 2, /Expected a name after ROOT/],
    ['a missing brace', SMALL.replace('Hips\n{', 'Hips'), 3, /Expected "{", found "OFFSET"/],
    [
      'a word in an OFFSET',
      SMALL.replace('1 -1 0', '1 down 0'),
      8,
      /Expected a number, found "down"/,
    ],
    ['a comma as decimal mark', SMALL.replace('1 -1 0', '1 -1,5 0'), 8, /decimal mark as a point/],
    [
      'too few numbers in an OFFSET',
      SMALL.replace('1 -1 0', '1 -1'),
      9,
      /Expected a number, found "CHANNELS"/,
    ],
    [
      'an unknown channel',
      SMALL.replace('3 Yrotation', '3 Wrotation'),
      9,
      /channel names, found "Wrotation"/,
    ],
    [
      'a channel twice',
      SMALL.replace('3 Yrotation Z', '3 Zrotation Z'),
      9,
      /Zrotation stands twice/,
    ],
    [
      'nine channels',
      SMALL.replace('CHANNELS 3', 'CHANNELS 9'),
      9,
      /Expected 0 to 6 channels, found 9/,
    ],
    [
      'an unknown keyword',
      SMALL.replace('End Site', 'Tail'),
      10,
      /Expected OFFSET, CHANNELS, JOINT, End Site or "}"/,
    ],
    ['a joint without OFFSET', SMALL.replace('    OFFSET 1 -1 0\n', ''), 13, /has no OFFSET/],
    ['an End Site that is not closed', SMALL.replace('-4 0\n    }', '-4 0'), 15, /found "MOTION"/],
    ['a second ROOT', SMALL.replace('MOTION', 'ROOT b'), 16, /A second ROOT/],
    ['no MOTION', SMALL.replace('MOTION\n', ''), 16, /Expected "MOTION", found "Frames:"/],
    ['no Frames', SMALL.replace('Frames: 2\n', ''), 17, /Expected "Frames:"/],
    [
      'a fraction of a frame',
      SMALL.replace('Frames: 2', 'Frames: 1.5'),
      17,
      /whole number of frames/,
    ],
    ['far too many frames', SMALL.replace('Frames: 2', 'Frames: 1e9'), 17, /more than can be read/],
    [
      'more frames than text',
      SMALL.replace('Frames: 2', 'Frames: 200000'),
      18,
      /more numbers than the rest/,
    ],
    ['a frame time of 0', SMALL.replace('0.0416667', '0'), 18, /more than 0, found 0/],
    [
      'a short row',
      SMALL.replace('1 10 0 0', '1 10 0'),
      20,
      /Expected 9 numbers for frame 2, found 8/,
    ],
    [
      'a row with NaN',
      SMALL.replace('1 10 0 0', '1 NaN 0 0'),
      20,
      /Expected a number, found "NaN"/,
    ],
    [
      'a number beyond all bounds',
      SMALL.replace('1 10 0 0', '1 1e999 0 0'),
      20,
      /Expected a number/,
    ],
    [
      'a row too many',
      `${SMALL}0 0 0 0 0 0 0 0 0\n`,
      21,
      /Expected the end of the file after 2 frames/,
    ],
    ['a row missing', SMALL.replace('0 10 0 0 0 0 0 0 0\n', ''), 19, /ends after 1 of 2 frames/],
    ['a file cut in the hierarchy', SMALL.slice(0, 150), 8, /ends where/],
  ];
  it.each(cases)('%s', (_, text, line, says) => {
    const read = readBvh(text);
    expect(read.ok).toBe(false);
    if (read.ok) return;
    expect(read.message).toMatch(says);
    expect(read.message).toContain(`Line ${read.line}:`);
    expect(read.line).toBe(line);
    expect(Object.keys(read).sort()).toEqual(['line', 'message', 'ok']);
  });

  const SEED = 4242;
  it(`never throws, whatever is done to a file: 2,000 changes (seed ${SEED})`, () => {
    const next = random(SEED);
    const source = readFileSync(new URL('cmu_02_04_two_poses.bvh', fixtures), 'utf8');
    const scraps = [
      '{',
      '}',
      '\n',
      '\r',
      ' ',
      '-',
      'e9',
      'OFFSET',
      'JOINT',
      'CHANNELS 6',
      '1e400',
      '\0',
      'End Site',
      'Frames: 99',
      'ROOT x',
      '\ud800',
    ];
    let refused = 0;
    for (let i = 0; i < 2000; i++) {
      let text = i % 2 === 0 ? source : SMALL;
      for (let change = 0; change <= i % 4; change++) {
        const at = Math.floor(next() * text.length);
        const scrap = scraps[Math.floor(next() * scraps.length)] ?? '';
        const cut = Math.floor(next() ** 4 * 400);
        text = text.slice(0, at) + (next() < 0.6 ? scrap : '') + text.slice(at + cut);
      }
      const read = readBvh(text);
      if (read.ok) expect(read.clip.values.every(Number.isFinite)).toBe(true);
      else {
        refused++;
        expect(read.message).toMatch(/^Line \d+: .+/);
      }
    }
    expect(refused).toBeGreaterThan(1000);
  });
});
