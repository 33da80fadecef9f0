import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { poseOf, type Stance } from '../poses.ts';
import { figure, floor, heldAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.79, mass: 82 } as const;

/** Both arms before him, a ball on the hands. */
function holding(mass: number, radius: number, lean: number, trunk: number): Scene {
  const stance: Stance = {
    body,
    angles: {
      lean,
      trunk,
      head: { flexion: 6 - trunk },
      upperArm: { flexion: 72 + trunk, abduction: -6 },
      forearm: { flexion: 14 },
    },
  };
  const posed = poseFigure(buildBody(body), poseOf(stance));
  const [left, right] = [palmCentre(posed, 'L'), palmCentre(posed, 'R')];
  const centre: Vec3 = [0, left[1] + radius * 0.5, (left[2] + right[2]) / 2 + radius * 0.3];
  return scene({
    figures: [figure('smith', 'Smith', stance)],
    loads: [
      heldAt(
        'ball',
        mass < 5 ? 'Straw ball' : 'Stone ball',
        mass,
        { kind: 'ball', radius },
        stance,
        'smith',
        'both',
        centre,
      ),
    ],
    surfaces: [floor('Fair ground')],
  });
}

export const ballHeldOut: DemoShot = {
  code: 'PUT-0065',
  title: 'The smith holds a ball out',
  sequence: 'fair',
  rate: 24,
  frames: [1, 30],
  state: 'in-work',
  drafts: [
    { title: 'Straw, 1 kg', scene: holding(1, 0.16, 3, 0) },
    {
      title: 'Stone, 27 kg, the same pose',
      scene: holding(27, 0.13, 3, 0),
      notes: [
        note(
          'tove',
          { kind: 'load', load: 'ball' },
          'Same pose, and the ball got 26 kg heavier: it pulls him over his toes. Nothing in him says stone.',
          {
            frame: 12,
            weight: 'must',
            state: 'answered',
            replies: [reply('bram', 'Leaned him back: draft 3.')],
          },
        ),
      ],
    },
    { title: 'Stone, leaning back 10', scene: holding(27, 0.13, -3, -10) },
  ],
};
