import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { bvhJointPositions } from '../../../core/formats/bvh-pose.ts';
import {
  bvhMotion,
  type Clip,
  type ClipOptions,
  mapClip,
  readBvh,
  readClip,
  readJointName,
} from '../../../core/formats/index.ts';
import { distance, rotate, type Vec3 } from '../../../core/geometry/index.ts';
import { lowestPoint, poseFigure } from '../../../core/pose/index.ts';
import { random } from '../../helpers/random.ts';

const fixtures = new URL('../../fixtures/clips/', import.meta.url);
const shared = new URL('../../../../shared/reference/clips/', import.meta.url);
const walkText = readFileSync(new URL('cmu_02_01_walk.bvh', fixtures), 'utf8');
const posesText = readFileSync(new URL('cmu_02_04_two_poses.bvh', fixtures), 'utf8');
const crouchFile = new URL('cmu_131_01_walk_crouch.bvh', shared);
const hasCrouch = existsSync(crouchFile);
if (!hasCrouch) console.info('skipped: the second naming family needs ../shared/reference/clips');

/** Metres in a unit of these files (2.54 cm / 0.45). */
const UNIT = 0.0564444;
const man: ClipOptions = { mass: 70, table: 'deleva-male', stature: 1.75 };
const must = (text: string, options: ClipOptions): Clip => {
  const read = readClip(text, options);
  if (!read.ok) throw new Error(read.message);
  return read.clip;
};

describe('names of joints', () => {
  it.each([
    ['LeftUpLeg', 'L', 'hip'],
    ['l_thigh', 'L', 'hip'],
    ['thigh.R', 'R', 'hip'],
    ['RightLeg', 'R', 'knee'],
    ['lKnee', 'L', 'knee'],
    ['rig:Left_Shin', 'L', 'knee'],
    ['RightFoot', 'R', 'ankle'],
    ['L Ankle', 'L', 'ankle'],
    ['LeftToeBase', 'L', 'toe'],
    ['lhand', 'L', 'wrist'],
    ['RThumb', 'R', 'finger'],
    ['LeftForeArm', 'L', 'elbow'],
    ['upper_arm.L', 'L', 'shoulder'],
    ['LeftShoulder', 'L', 'shoulderOrCollar'],
    ['RightCollar', 'R', 'collar'],
    ['Neck1', null, 'neck'],
    ['Head', null, 'head'],
    ['LHipJoint', 'L', null],
    ['Hips', null, null],
    ['LowerBack', null, null],
  ])('%s', (name, side, role) => {
    expect(readJointName(name)).toEqual({ side, role });
  });
});

const FIRST = {
  pelvis: 'Hips',
  chest: 'Spine1',
  head: 'Head',
  upperArmL: 'LeftArm',
  forearmL: 'LeftForeArm',
  handL: 'LeftHand',
  upperArmR: 'RightArm',
  forearmR: 'RightForeArm',
  handR: 'RightHand',
  thighL: 'LeftUpLeg',
  shankL: 'LeftLeg',
  footL: 'LeftFoot',
  toesL: 'LeftToeBase',
  thighR: 'RightUpLeg',
  shankR: 'RightLeg',
  footR: 'RightFoot',
  toesR: 'RightToeBase',
};
const SECOND = {
  pelvis: 'Hips',
  chest: 'Chest2',
  head: 'Head',
  upperArmL: 'LeftShoulder',
  forearmL: 'LeftElbow',
  handL: 'LeftWrist',
  upperArmR: 'RightShoulder',
  forearmR: 'RightElbow',
  handR: 'RightWrist',
  thighL: 'LeftHip',
  shankL: 'LeftKnee',
  footL: 'LeftAnkle',
  toesL: 'LeftToe',
  thighR: 'RightHip',
  shankR: 'RightKnee',
  footR: 'RightAnkle',
  toesR: 'RightToe',
};

function mapped(text: string) {
  const read = readBvh(text);
  if (!read.ok) throw new Error(read.message);
  const map = mapClip(bvhMotion(read.clip));
  if (!map) throw new Error('no body found');
  return map;
}
const bySegment = (text: string) =>
  Object.fromEntries(mapped(text).segments.map(({ segment, joint }) => [segment, joint]));

describe('which joint moves what', () => {
  it('both naming families are mapped, and what is not used is told', () => {
    expect(bySegment(walkText)).toEqual(FIRST);
    expect(mapped(walkText).unused).toContain('LThumb');
    expect(mapped(walkText).segments.find(({ segment }) => segment === 'shankL')?.how).toBe('name');
  });

  it.skipIf(!hasCrouch)('the second family too', () => {
    expect(bySegment(readFileSync(crouchFile, 'utf8'))).toEqual(SECOND);
  });

  it('names without any meaning are mapped by place', () => {
    let n = 0;
    const renamed = new Map<string, string>();
    const text = walkText.replace(/(ROOT|JOINT) (\S+)/g, (_, keyword: string, name: string) => {
      renamed.set(name, `j${n++}`);
      return `${keyword} ${renamed.get(name)}`;
    });
    expect(bySegment(text)).toEqual(
      Object.fromEntries(
        Object.entries(FIRST).map(([segment, joint]) => [segment, renamed.get(joint)]),
      ),
    );
    expect(mapped(text).segments.every(({ how }) => how === 'place')).toBe(true);
  });
});

describe('a recorded walk', () => {
  const clip = must(walkText, man);

  it('has its frames, rate, and a figure of the given stature and mass', () => {
    expect(clip.frameCount).toBe(343);
    expect(clip.rate).toBeCloseTo(120, 1);
    expect(clip.body.spec).toMatchObject({ mass: 70, table: 'deleva-male' });
    const { head } = clip.body.segments;
    const chain = ['abdomen', 'chest', 'head'] as const;
    const height =
      clip.body.hipHeight +
      chain.reduce((sum, name) => sum + clip.body.segments[name].offset[1], 0) +
      head.end[1];
    expect(height).toBeCloseTo(1.75, 6);
  });

  it("stands where the clip's joints are: legs to 5 mm, all joints to 1 cm on average", () => {
    const byScale = must(walkText, { mass: 70, table: 'deleva-male', scale: UNIT });
    const read = readBvh(walkText);
    if (!read.ok) throw new Error(read.message);
    for (const frame of [0, 100, 200, 342]) {
      const places = bvhJointPositions(read.clip, frame);
      const posed = poseFigure(byScale.body, byScale.poseAt(frame));
      const lift = posed.segments.pelvis.position[1];
      const hips = places.get('LeftUpLeg') as Vec3;
      const other = places.get('RightUpLeg') as Vec3;
      const middle = ((hips[1] + other[1]) / 2) * UNIT;
      for (const [segment, joint] of [
        ['shankL', 'LeftLeg'],
        ['footR', 'RightFoot'],
        ['footL', 'LeftFoot'],
      ] as const) {
        const [x, y, z] = places.get(joint) as Vec3;
        const expected: Vec3 = [x * UNIT, y * UNIT - middle + lift, z * UNIT];
        expect(distance(posed.segments[segment].position, expected)).toBeLessThan(0.005);
      }
    }
    expect(byScale.report.jointMiss).toBeLessThan(0.01);
    expect(byScale.report.scale).toBe(UNIT);
  });

  it('walks on its floor, facing and going forward (+z), head up', () => {
    let onFloor = 0;
    for (let frame = 0; frame < clip.frameCount; frame += 6) {
      const posed = poseFigure(clip.body, clip.poseAt(frame));
      const low = lowestPoint(posed);
      expect(low, `frame ${frame}`).toBeGreaterThan(-0.06);
      // 2 cm: what a contact bridges.
      if (low < 0.02) onFloor++;
      expect(rotate(posed.segments.chest.rotation, [0, 0, 1])[2]).toBeGreaterThan(0.8);
      expect(posed.segments.head.position[1]).toBeGreaterThan(1.3);
      expect(posed.centre[1] / 1.75).toBeGreaterThan(0.53);
      expect(posed.centre[1] / 1.75).toBeLessThan(0.61);
    }
    expect(onFloor).toBe(Math.ceil(343 / 6));
    const way = clip.poseAt(342).position[2] - clip.poseAt(0).position[2];
    expect(way).toBeGreaterThan(3);
  });

  it('says what was done: the drift of the floor (2.5 to 7 cm in the data notes), scale, joints', () => {
    const { floor, sentences } = must(walkText, { ...man, stature: 1.58 }).report;
    expect((floor?.end ?? 0) - (floor?.start ?? 0)).toBeGreaterThan(0.03);
    expect(sentences.join(' ')).toMatch(/343 frames at 120\.00 a second/);
    expect(sentences.join(' ')).toMatch(/drift is taken off/);
    expect(must(walkText, { mass: 70, table: 'deleva-male' }).report.sentences.join(' ')).toMatch(
      /1\.70 m taken/,
    );
  });

  it('gives a scene on a floor, the same at each call, held inside the clip', () => {
    expect(clip.sceneAt(40)).toEqual(clip.sceneAt(40));
    expect(clip.sceneAt(-5)).toEqual(clip.sceneAt(0));
    expect(clip.sceneAt(1e9)).toEqual(clip.sceneAt(342));
    const [figure] = clip.sceneAt(40).figures;
    expect(figure?.contacts).toEqual({});
    expect(clip.sceneAt(40).surfaces[0]).toMatchObject({
      kind: 'floor',
      size: null,
      position: [0, 0, 0],
    });
  });

  it('comes out the same from a file with Z up', () => {
    // Each vector (x, y, z) becomes (x, -z, y): offsets, root path and the axes of the rotations.
    const turned = zUp(walkText);
    const other = must(turned, man);
    for (const frame of [10, 200]) {
      const a = poseFigure(clip.body, clip.poseAt(frame));
      const b = poseFigure(other.body, other.poseAt(frame));
      expect(distance(a.centre, b.centre)).toBeLessThan(1e-3);
      expect(distance(a.segments.handL.position, b.segments.handL.position)).toBeLessThan(1e-3);
    }
  });
});

/** The same motion written with Z up: y and z change places, with a sign to stay right-handed. */
function zUp(text: string): string {
  const [head = '', motion = ''] = text.split(/(?=MOTION)/);
  const flip = head
    .replace(/OFFSET +(\S+) +(\S+) +(\S+)/g, (_, x, y, z) => `OFFSET ${x} ${-Number(z)} ${y}`)
    .replace(/[XYZ](?=rotation|position)/g, (axis) => ({ X: 'X', Y: 'Z', Z: 'Y' })[axis] ?? axis);
  // Channels that were Z are now Y with the opposite sign.
  const negative = [...head.matchAll(/([XYZ])(rotation|position)/g)].map(
    ([, axis]) => axis === 'Z',
  );
  const rows = motion.split(/\r?\n/).map((row, i) =>
    i < 3 || row.trim() === ''
      ? row
      : row
          .trim()
          .split(/\s+/)
          .map((value, k) => (negative[k] ? -Number(value) : value))
          .join(' '),
  );
  return flip + rows.join('\n');
}

describe('two single poses', () => {
  it('each stand on the floor on both feet, knees bent, upright above the crouch', () => {
    const clip = must(posesText, man);
    const [crouch, stance] = [0, 1].map((frame) => poseFigure(clip.body, clip.poseAt(frame)));
    for (const frame of [0, 1]) {
      const { contacts, figures } = assess(clip.sceneAt(frame));
      for (const side of ['L', 'R']) {
        expect(
          contacts.some(({ patch }) => patch === `sole${side}`),
          `frame ${frame}, ${side}`,
        ).toBe(true);
      }
      expect(figures[0]?.verdict).toBe('holds');
    }
    expect((stance?.centre[1] ?? 0) - (crouch?.centre[1] ?? 0)).toBeGreaterThan(0.15);
    expect(clip.report.floor).toBeNull();
  });
});

describe.skipIf(!hasCrouch)(
  'a half-kneel (131_01, frames 366-400: knee, toes and the other foot carry, by the data notes)',
  () => {
    it('rests on the left knee, the left toes and the right foot; no frame of the clip hangs in the air', () => {
      const clip = must(readFileSync(crouchFile, 'utf8'), {
        mass: 70,
        table: 'deleva-male',
        scale: UNIT,
      });
      for (const frame of [366, 374, 382, 390, 400]) {
        const { contacts } = assess(clip.sceneAt(frame));
        const patches = contacts.map(({ patch }) => patch);
        for (const patch of ['kneeL', 'toesL', 'soleR'])
          expect(patches, `frame ${frame}`).toContain(patch);
        expect(patches).not.toContain('kneeR');
      }
      for (let frame = 0; frame < clip.frameCount; frame += 13) {
        expect(assess(clip.sceneAt(frame)).figures[0]?.verdict, `frame ${frame}`).not.toBe(
          'airborne',
        );
      }
    });
  },
);

describe('what cannot be a figure', () => {
  it('is refused with a reason and a mend', () => {
    const tail =
      'HIERARCHY\nROOT a\n{\nOFFSET 0 0 0\nCHANNELS 3 Xposition Yposition Zposition\n}\nMOTION\nFrames: 1\nFrame Time: 1\n0 0 0\n';
    expect(readClip(tail, man)).toMatchObject({
      ok: false,
      message: expect.stringContaining('No two legs'),
    });
    expect(readClip('x', man)).toMatchObject({ ok: false, line: 1 });
    expect(readClip(walkText, { ...man, scale: 1 })).toMatchObject({
      ok: false,
      message: expect.stringMatching(/would be \d+(\.\d+)? m tall/),
    });
    expect(() => readClip(walkText, { ...man, mass: 0 })).toThrow(RangeError);
    const flat = walkText.replace(/OFFSET .*/g, 'OFFSET 0 0 0');
    expect(readClip(flat, man)).toMatchObject({ ok: false });
  });

  const SEED = 99;
  it(`never throws on a damaged clip (400 changes, seed ${SEED})`, () => {
    const next = random(SEED);
    let read = 0;
    for (let i = 0; i < 400; i++) {
      // Numbers changed, so that most files stay well-formed and the mapping sees strange skeletons.
      const text = posesText.replace(/-?\d+\.\d+/g, (number) => {
        const dice = next();
        return dice < 0.02
          ? '0'
          : dice < 0.03
            ? String(Number(number) * 1e6)
            : dice < 0.05
              ? String(-Number(number))
              : number;
      });
      const result = readClip(text, man);
      if (!result.ok) continue;
      read++;
      const { position } = result.clip.poseAt(0);
      expect(position.every(Number.isFinite), `change ${i}`).toBe(true);
    }
    expect(read).toBeGreaterThan(50);
  });
});
