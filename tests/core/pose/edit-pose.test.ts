import { describe, expect, it } from 'vitest';
import { buildBody, SEGMENTS } from '../../../core/body/index.ts';
import {
  blendPoses,
  degreesOf,
  limbOf,
  mirrorHalf,
  mirrorPose,
  type Pose,
  poseFromAngles,
  poseText,
  readPoseText,
  restPose,
  withPart,
} from '../../../core/pose/index.ts';
import { random } from '../../helpers/random.ts';

const body = buildBody({ table: 'deleva-female', stature: 1.7, mass: 64 });
const rest = restPose(body);
const crooked = poseFromAngles(
  {
    pelvis: { rotation: 20 },
    chest: { flexion: 12, abduction: 6 },
    upperArmL: { flexion: 70, abduction: 15, rotation: 10 },
    forearmL: { flexion: 90 },
    handL: { flexion: 20 },
    thighR: { flexion: 35, abduction: 8 },
    shankR: { flexion: 50 },
  },
  body,
);

describe('limbs', () => {
  it('an arm, a leg, and nothing for the trunk', () => {
    expect(limbOf('forearmL')).toEqual(['upperArmL', 'forearmL', 'handL']);
    expect(limbOf('toesR')).toEqual(['thighR', 'shankR', 'footR', 'toesR']);
    expect(limbOf('chest')).toBeNull();
    expect(limbOf('pelvis')).toBeNull();
  });
});

describe('half a mirror', () => {
  it('makes the right side like the left one, and leaves the trunk', () => {
    const half = mirrorHalf(crooked, 'L');
    const [left, right] = (['upperArmL', 'upperArmR'] as const).map((n) => degreesOf(half, n));
    expect(right!.flexion).toBeCloseTo(left!.flexion, 9);
    expect(right!.abduction).toBeCloseTo(left!.abduction, 9);
    expect(right!.rotation).toBeCloseTo(left!.rotation, 9);
    // The left leg is at rest: so is the right one now.
    expect(degreesOf(half, 'shankR').flexion).toBeCloseTo(0, 9);
    expect(half.joints.chest).toEqual(crooked.joints.chest);
    expect(half.position).toBe(crooked.position);
    // The same from the mirror image's other side.
    const other = mirrorPose(mirrorHalf(mirrorPose(crooked), 'R'));
    for (const name of SEGMENTS)
      if (name !== 'pelvis' && /[LR]$/.test(name))
        expect(degreesOf(other, name).flexion).toBeCloseTo(degreesOf(half, name).flexion, 9);
  });
});

describe('a blend', () => {
  it('begins at one pose and ends at the other, and is half way between them in the middle', () => {
    expect(blendPoses(rest, crooked, 0)).toBe(rest);
    expect(blendPoses(rest, crooked, 1)).toBe(crooked);
    const half = blendPoses(rest, crooked, 0.5);
    expect(degreesOf(half, 'shankR').flexion).toBeCloseTo(25, 6);
    expect(half.position[1]).toBeCloseTo((rest.position[1] + crooked.position[1]) / 2, 12);
  });
});

describe('a pose on the clipboard', () => {
  it('comes back as it was, whole or a limb, onto another figure', () => {
    const whole = readPoseText(poseText(crooked))!;
    expect(whole.rotation).toEqual(crooked.rotation);
    const on = withPart(rest, whole);
    expect(degreesOf(on, 'upperArmL').abduction).toBeCloseTo(15, 9);
    expect(degreesOf(on, 'upperArmR').abduction).toBeCloseTo(0, 9);
    expect(on.position).toBe(rest.position);
    const arm = readPoseText(poseText(crooked, limbOf('handL')!))!;
    expect(Object.keys(arm.joints)).toEqual(['upperArmL', 'forearmL', 'handL']);
    expect(arm.rotation).toBeUndefined();
  });

  it('other text is not a pose, and broken turns never get in (seed 9)', () => {
    for (const text of [
      '',
      'null',
      '[]',
      '{"kind":"counterlean pose"}',
      '{"joints":{"head":[0,0,0,1]}}',
    ])
      expect(readPoseText(text)).toBeNull();
    const next = random(9);
    const text = poseText(crooked);
    for (let i = 0; i < 300; i++) {
      const at = Math.floor(next() * text.length);
      const broken = text.slice(0, at) + String.fromCharCode(32 + next() * 90) + text.slice(at + 1);
      const read = readPoseText(broken);
      for (const turn of Object.values(read?.joints ?? {}) as Pose['rotation'][])
        expect(Math.hypot(...turn)).toBeCloseTo(1, 9);
    }
  });
});
