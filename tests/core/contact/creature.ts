import { expect } from 'vitest';
import { type BodySpec, buildBody, freshExtra, turnBy } from '../../../core/body/index.ts';
import { poseFigure, poseFromAngles, standOnFloor } from '../../../core/pose/index.ts';
import type { ContactSetting, Scene } from '../../../core/scene/index.ts';
import { FLOOR, figure, scene } from '../balance/scenes.ts';

/** A creature with a long tail hanging down behind; leaning back from its ankles, degrees. */
export function creature(lean: number, tail: ContactSetting): Scene {
  const spec: BodySpec = {
    ...{ table: 'deleva-female', stature: 1.2, mass: 30 },
    extras: {
      tail: {
        ...freshExtra('tail'),
        length: 0.62,
        turn: turnBy('tail', { swing: 0, lift: -0.35 }),
      },
    },
  };
  const body = buildBody(spec);
  const pose = poseFromAngles({ lean: -lean }, body);
  const feet = { soleL: 'planted', soleR: 'planted' } as const;
  const standing = standOnFloor(body, pose);
  expect(poseFigure(body, standing).segments.footL.position[1]).toBeGreaterThan(0);
  return scene({
    surfaces: [FLOOR],
    figures: [figure('a', standing, { body: spec, contacts: { ...feet, tailTip: tail } })],
  });
}
