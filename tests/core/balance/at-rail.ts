import { buildBody } from '../../../core/body/index.ts';
import type { Vec3 } from '../../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../../core/pose/index.ts';
import type { ContactSetting, Scene } from '../../../core/scene/index.ts';
import { box, FLOOR, figure, posed, scene, WOMAN } from './scenes.ts';

/** Leaning back from the ankles, degrees, both hands at a smooth rail before her; how they hold it. */
export function atRail(lean: number, how: ContactSetting, thick = 0.04): Scene {
  const body = buildBody(WOMAN);
  const pose = posed({ lean: -lean, upperArm: { flexion: 50 }, forearm: { flexion: 10 } });
  const placed = poseFigure(body, pose);
  const [left, right] = [palmCentre(placed, 'L'), palmCentre(placed, 'R')];
  const middle: Vec3 = [0, (left[1] + right[1]) / 2 - thick / 2, (left[2] + right[2]) / 2];
  const feet = { soleL: 'planted', soleR: 'planted', toesL: 'planted', toesR: 'planted' } as const;
  return scene({
    surfaces: [FLOOR, box('rail', middle, [1.6, thick, thick], { kind: 'rail', friction: 0.1 })],
    figures: [figure('a', pose, { contacts: { ...feet, palmL: how, palmR: how } })],
  });
}
