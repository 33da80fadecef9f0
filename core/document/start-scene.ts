import { buildBody } from '../body/index.ts';
import { restPose, standOnFloor } from '../pose/index.ts';
import type { Scene, Surface } from '../scene/types.ts';

/** What a new shot starts with: one figure, of this id, standing upright on the floor. */
export function startScene(figure: string): Scene {
  const spec = { table: 'deleva-female', stature: 1.7, mass: 65 } as const;
  const body = buildBody(spec);
  return {
    figures: [
      {
        id: figure,
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
export const floor = (): Surface => ({
  id: 'floor',
  name: 'Floor',
  kind: 'floor',
  position: [0, 0, 0],
  rotation: [0, 0, 0, 1],
  size: null,
  friction: 0.7,
});
