import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { rotate } from '../../../core/geometry/index.ts';
import {
  degreesOf,
  limbOf,
  poseFigure,
  poseFromAngles,
  poseText,
  readPoseText,
  restPose,
} from '../../../core/pose/index.ts';
import { bodyOf, START_POSES } from '../../../core/scene/index.ts';
import { pasted } from '../../../web/bench/pose-clipboard.ts';
import { isLocked, PLAIN, reachSettings, withLock } from '../../../web/bench/pose-settings.ts';
import { show } from '../../../web/bench/shown.ts';
import { needWords, startOn } from '../../../web/bench/starting.ts';
import { bentScene } from '../../helpers/small-review.ts';

const scene = bentScene(0);
const figure = scene.figures[0]!;
const body = bodyOf(figure.body);
const rest = restPose(body);
const armUp = poseFromAngles({ upperArmL: { flexion: 80, abduction: 20 } }, body);

describe('pasting', () => {
  it('a limb goes to the chosen side, mirrored where it comes from the other', () => {
    const arm = readPoseText(poseText(armUp, limbOf('handL')!))!;
    const same = pasted(rest, arm, 'forearmL');
    expect(degreesOf(same, 'upperArmL').flexion).toBeCloseTo(80, 9);
    const other = pasted(rest, arm, 'handR');
    expect(degreesOf(other, 'upperArmR').flexion).toBeCloseTo(80, 9);
    expect(degreesOf(other, 'upperArmR').abduction).toBeCloseTo(20, 9);
    expect(other.joints.upperArmL).toEqual(rest.joints.upperArmL);
  });

  it('a whole pose keeps where the figure is and which way it faces', () => {
    const part = readPoseText(poseText(armUp))!;
    const turned = { ...rest, rotation: [0, Math.SQRT1_2, 0, Math.SQRT1_2] as const };
    const pose = pasted(turned, part, 'pelvis');
    expect(pose.position).toEqual(turned.position);
    expect(rotate(pose.rotation, [0, 0, 1])[0]).toBeCloseTo(1, 6);
  });
});

describe('start poses on the bench', () => {
  it('change the pose and bring what is needed; place, body and name stay', () => {
    const shown = show(scene, assess(scene));
    const sit = START_POSES.find(({ id }) => id === 'sit')!;
    const { patch, things } = startOn(shown, figure, sit);
    expect(Object.keys(patch).some((key) => /stature|mass|name/.test(key))).toBe(false);
    expect(things.map(({ kind }) => kind)).toEqual(['surface']);
    expect(needWords(sit, figure)).toBe('chair');
    const { footL, footR } = poseFigure(body, figure.pose).segments;
    const chair = things[0]!.value as { position: readonly number[] };
    expect(chair.position[0]).toBeCloseTo((footL.position[0] + footR.position[0]) / 2, 9);
  });
});

describe('locks', () => {
  it('are kept by figure, and given to drags', () => {
    const locked = withLock(PLAIN, 'porter', 'head', true);
    expect(isLocked(locked, 'porter', 'head')).toBe(true);
    expect(isLocked(locked, 'other', 'head')).toBe(false);
    expect(reachSettings(locked)).toEqual({ locks: { porter: ['head'] } });
    expect(isLocked(withLock(locked, 'porter', 'head', false), 'porter', 'head')).toBe(false);
    expect(reachSettings({ ...PLAIN, keepPlumb: true }).keep).toBe('here');
  });
});
