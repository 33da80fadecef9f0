import { buildBody } from '../../core/body/index.ts';
import { restPose, standOnFloor } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/types.ts';

/** What a new shot starts with: one figure standing upright on the floor. */
export function startScene(): Scene {
  const spec = { table: 'deleva-female', stature: 1.7, mass: 65 } as const;
  const body = buildBody(spec);
  return {
    figures: [
      {
        id: crypto.randomUUID(),
        name: 'Figure',
        body: spec,
        pose: standOnFloor(body, restPose(body)),
        contacts: {},
      },
    ],
    loads: [],
    surfaces: [floor()],
    grips: [],
  };
}

/** The floor at y = 0, without end; friction as of a dry shoe on a wooden floor (common practice, no source). */
export const floor = (): Scene['surfaces'][number] => ({
  id: 'floor',
  name: 'Floor',
  kind: 'floor',
  position: [0, 0, 0],
  rotation: [0, 0, 0, 1],
  size: null,
  friction: 0.7,
});
