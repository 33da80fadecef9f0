import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { legOf, placed, poseOf, type Stance, settle, type Wish } from '../poses.ts';
import { block, figure, floor, heldAt, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.74, mass: 67 } as const;
const FOOT = buildBody(body).footLength;
const sole = -(buildBody(body).patches.soleL.outline[0] as Vec3)[1];
const TOP = 0.5;
const WIRE = block('wire', 'Line between the boats', 'beam', [0, TOP, 0], [0.02, 0.02, 3]);

/** Heel to toe on the wire, both hands at a pole of 6 m and 9 kg. */
function withPole(hips: number, up: number): Scene {
  const start: Stance = {
    body,
    angles: {
      thighL: { flexion: 0, abduction: -4 },
      thighR: { flexion: 16, abduction: -4 },
      shank: { flexion: 16 },
      head: { flexion: 8 },
      upperArm: { flexion: up, abduction: 22 },
      forearm: { flexion: 78 - up, rotation: -20 },
    },
    at: [0, TOP, 0],
  };
  const over: Wish = (posed) => [posed.segments.pelvis.position[0] - hips];
  const stance = settle(
    start,
    [...legOf('L'), ...legOf('R')],
    placed('footL', [0, 0, 0], [0, TOP + sole, -FOOT / 2]),
    placed('footR', [0, 0, 0], [0, TOP + sole, FOOT / 2]),
    over,
  );
  const posed = poseFigure(buildBody(body), poseOf(stance));
  const [, y, z] = palmCentre(posed, 'L');
  return scene({
    figures: [figure('walker', 'Line walker', stance)],
    loads: [
      heldAt('pole', 'Pole', 9, { kind: 'box', size: [6, 0.04, 0.04] }, stance, 'walker', 'both', [
        0,
        y,
        z + 0.02,
      ]),
    ],
    surfaces: [floor('Water, low'), WIRE],
  });
}

export const walkerPole: DemoShot = {
  code: 'POL-0095',
  title: 'The line walker takes a pole',
  sequence: 'fair',
  rate: 24,
  frames: [1, 80],
  state: 'in-work',
  drafts: [
    {
      title: 'Hips 2 cm off the line',
      scene: withPole(0.02, 20),
      notes: [
        note(
          'tove',
          { kind: 'plumb', figure: 'walker' },
          'A pole does not hold him: 2 cm is off a 2 cm wire, pole or not.',
          {
            frame: 20,
            weight: 'must',
            state: 'answered',
            replies: [reply('bram', 'Hips back over it in draft 2.')],
          },
        ),
      ],
    },
    {
      title: 'Hips over the line',
      scene: withPole(0, 20),
      notes: [
        note(
          'nadja',
          { kind: 'load', load: 'pole' },
          'What it buys him is time: everything turns slower. Make the wobble slower than without.',
          { frame: 40, weight: 'should' },
        ),
      ],
    },
  ],
};
