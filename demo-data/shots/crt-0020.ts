import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { poseFigure } from '../../core/pose/index.ts';
import { note, reply } from '../people.ts';
import { armOf, placed, poseOf, type Stance, settle } from '../poses.ts';
import { figure, floor, heldAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.76, mass: 75 } as const;
const SIZE: Vec3 = [0.4, 0.26, 0.3];
const MASS = 28;

/**
 * Hands at the crate's sides, its centre 15 cm above the hips.
 * @param ahead metres before the hips
 */
function lifting(trunk: number, lean: number, ahead: number) {
  const bare: Stance = {
    body,
    angles: {
      lean,
      trunk,
      head: { flexion: 6 },
      upperArm: { flexion: 30, abduction: 10 },
      forearm: { flexion: 50 },
    },
  };
  const posed = poseFigure(buildBody(body), poseOf(bare));
  const [, hipY, hipZ] = posed.segments.pelvis.position;
  const centre: Vec3 = [0, hipY + 0.15, hipZ + ahead];
  const palm: Vec3 = [0, -0.058, 0];
  const side = SIZE[0] / 2 + 0.014;
  const [x, y, z] = centre;
  const holding = settle(
    bare,
    [...armOf('L'), ...armOf('R')],
    placed('handL', palm, [x + side, y - 0.04, z - 0.1]),
    placed('handR', palm, [x - side, y - 0.04, z - 0.1]),
  );
  return scene({
    figures: [figure('carter', 'Cheese carter', holding)],
    loads: [
      heldAt(
        'crate',
        'Cheese crate',
        MASS,
        { kind: 'box', size: SIZE },
        holding,
        'carter',
        'both',
        centre,
      ),
    ],
    surfaces: [floor('Market stones')],
  });
}

export const cheeseCrate: DemoShot = {
  code: 'CRT-0020',
  title: 'The cheese crate',
  sequence: 'quay',
  rate: 24,
  frames: [1, 40],
  state: 'retake',
  drafts: [
    {
      title: 'Upright, crate at arm\u2019s length',
      scene: lifting(0, 3.5, 0.42),
      notes: [
        note(
          'tove',
          { kind: 'load', load: 'crate' },
          'Hug it: 15 cm closer saves half the lean. Hug first, lean second.',
          { frame: 22, weight: 'must', state: 'answered', replies: [reply('lio', 'Draft 2.')] },
        ),
      ],
    },
    {
      title: 'Crate hugged, upright',
      scene: lifting(0, 3.5, 0.28),
      notes: [
        note(
          'pell',
          { kind: 'joint', figure: 'carter', segment: 'handL' },
          'No failed heave, f 8-20: the weight arrives free. One try that stops, then the lift.',
          { frame: 8, weight: 'should' },
        ),
      ],
    },
    { title: 'Leaning back 8', scene: lifting(-8, 1, 0.42) },
    {
      title: 'Leaning back 12, legs too',
      scene: lifting(-12, -2, 0.42),
      notes: [
        note(
          'nadja',
          { kind: 'load', load: 'crate' },
          'Guesses before the reveal ran from 8 to 30 kg. The lean alone does not say it; the lift has to be slower.',
          { frame: 30, weight: 'should' },
        ),
        note(
          'tove',
          { kind: 'joint', figure: 'carter', segment: 'shankL' },
          'Knees straight as the weight arrives. Drop 3-4 cm, up in 6.',
          { frame: 20, weight: 'must' },
        ),
      ],
    },
  ],
};
