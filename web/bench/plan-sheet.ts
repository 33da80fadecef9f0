import { axisMetres } from './camera.ts';
import type { Looking } from './looking.ts';
import type { Sheet } from './sheet.ts';

/** The plan as a plane that things are dragged in; its up is away from the viewer of the elevation. */
export function planSheet({ axis, planHeight, view }: Looking): Sheet {
  const side = view === 'side';
  return {
    right: side ? [0, 0, 1] : [1, 0, 0],
    up: side ? [1, 0, 0] : [0, 0, -1],
    towards: [0, 1, 0],
    unproject: (x, y, through) => {
      const along = axisMetres(axis, x);
      const down = axis.planCentre + (y - planHeight / 2) / axis.scale;
      return side ? [-down, through[1], along] : [along, through[1], down];
    },
  };
}
