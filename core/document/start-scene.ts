import { buildBody } from '../body/index.ts';
import { restPose, standOnFloor } from '../pose/index.ts';
import { floorSurface, type Scene } from '../scene/index.ts';

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
    surfaces: [floorSurface()],
    grips: [],
  };
}
