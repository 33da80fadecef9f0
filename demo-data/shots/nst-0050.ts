import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import {
  armOf,
  fist,
  placed,
  poseOf,
  type Stance,
  settle,
  type Wish,
  worldPoint,
} from '../poses.ts';
import { block, figure, grip, heldAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-female', stature: 1.64, mass: 58 } as const;
const built = buildBody(body);
/** Toes at the edge: the ledge ends where the foot does, ankles at z = 0. */
const EDGE = built.footLength + Math.min(...built.patches.soleL.outline.map((p) => p[2]));
const LEDGE = block('ledge', 'Cliff', 'ledge', [0, 0, EDGE - 1], [2.4, 0.9, 2]);

interface Reach {
  readonly trunk: number;
  /** Raised leg back from the vertical, degrees; left out: both feet stand. */
  readonly leg?: number;
  /** Legs back from the vertical, degrees. */
  readonly back?: number;
  /** Kilograms of eggs and basket in the right hand. */
  readonly basket?: number;
}

/** Over the right foot, where the left one is raised. */
const overFoot: Wish = (posed) => [posed.centre[0] - posed.segments.footR.position[0]];

function stanceOf({ trunk, leg, back = 0 }: Reach): Stance {
  const angles: Stance['angles'] = {
    lean: -back,
    trunk,
    head: { flexion: -28 },
    upperArmR: { flexion: trunk + 90, abduction: 2 },
    upperArmL: { flexion: trunk + 68, abduction: 8 },
    forearmR: { flexion: 4 },
    forearmL: { flexion: 24 },
  };
  if (leg === undefined) return { body, angles };
  const raised: Stance = {
    body,
    angles: {
      ...angles,
      thighL: { flexion: back - leg },
      shankL: { flexion: 8 },
      footL: { flexion: -35 },
    },
    level: ['R'],
    anchor: 'R',
  };
  return settle(raised, [['thighR', 'abduction']], overFoot);
}

const SIZE: Vec3 = [0.24, 0.16, 0.2];

function reaching(reach: Reach, friend = false): Scene {
  const stance = stanceOf(reach);
  const { basket } = reach;
  const [x, y, z] = palmCentre(poseFigure(built, poseOf(stance)), 'R');
  const belt = worldPoint(stance, 'pelvis', [-0.08, 0.1, -0.12]);
  return scene({
    figures: [
      figure('gatherer', 'Egg gatherer', stance),
      ...(friend ? [figure('friend', 'Her friend', holdingOn(belt))] : []),
    ],
    loads:
      basket === undefined
        ? []
        : [
            heldAt(
              'basket',
              'Basket',
              basket,
              { kind: 'box', size: SIZE },
              stance,
              'gatherer',
              'right',
              [x, y - SIZE[1] / 2 - 0.03, z],
            ),
          ],
    surfaces: [LEDGE],
    grips: friend ? [grip('belt', ['friend', 'handL'], ['gatherer', 'pelvis'])] : [],
  });
}

/** Sits back on bent knees beside her raised leg, one hand in her belt. */
function holdingOn(belt: Vec3): Stance {
  const friend: Stance = {
    body: { table: 'deleva-male', stature: 1.76, mass: 74 },
    angles: {
      lean: -7,
      trunk: 3,
      thigh: { flexion: 34 },
      shank: { flexion: 46 },
      head: { flexion: 4 },
      upperArmL: { flexion: 50, abduction: 4 },
      forearmL: { flexion: 20 },
      upperArmR: { flexion: 20, abduction: 18 },
      forearmR: { flexion: 30 },
    },
    at: [-0.42, 0, -0.08],
  };
  return settle(friend, armOf('L'), placed('handL', fist(friend.body, 0.4), belt));
}

export const nestBelow: DemoShot = {
  code: 'NST-0050',
  title: 'The nest below the edge',
  sequence: 'cliff',
  rate: 24,
  frames: [1, 90],
  state: 'retake',
  drafts: [
    {
      title: 'Both feet, trunk 60',
      scene: reaching({ trunk: 60 }),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'gatherer' },
          'Line is past the toes and the toes are the edge. Draw the edge: it is where her base ends.',
          { frame: 40, weight: 'must', state: 'answered', replies: [reply('bram', 'Edge is in.')] },
        ),
      ],
    },
    { title: 'One foot, leg back 60', scene: reaching({ trunk: 60, leg: 60 }) },
    {
      title: 'Deeper, leg level, hips left where they were',
      scene: reaching({ trunk: 80, leg: 85 }),
      notes: [
        note(
          'tove',
          { kind: 'joint', figure: 'gatherer', segment: 'thighR' },
          'The leg alone won\u2019t pay for that reach; move the standing hip back 10 cm.',
          { frame: 48, weight: 'must', state: 'answered', replies: [reply('bram', 'Draft 5.')] },
        ),
      ],
    },
    {
      title: 'Basket 1.5 kg',
      scene: reaching({ trunk: 80, leg: 85, basket: 1.5 }),
      notes: [
        note(
          'nadja',
          { kind: 'load', load: 'basket' },
          'When the basket fills, she goes. It gains its weight over 12 frames, f 60-72: use them.',
          { frame: 60 },
        ),
      ],
    },
    { title: 'Hip 11 cm back', scene: reaching({ trunk: 80, leg: 85, back: 8 }) },
    { title: 'Hip back, basket 4 kg', scene: reaching({ trunk: 80, leg: 85, back: 8, basket: 4 }) },
    {
      title: 'A friend at her belt',
      scene: reaching({ trunk: 80, leg: 85 }, true),
      notes: [
        note(
          'pell',
          { kind: 'joint', figure: 'friend', segment: 'handL' },
          'She holds only because he does. If he lets go we are back at draft 3.',
          { frame: 70 },
        ),
      ],
    },
  ],
};
