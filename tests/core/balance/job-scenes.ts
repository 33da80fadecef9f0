import { buildBody } from '../../../core/body/index.ts';
import { fromAxisAngle, IDENTITY, multiply, rotate } from '../../../core/geometry/index.ts';
import { type Pose, poseFigure } from '../../../core/pose/index.ts';
import type { Figure, Load, Scene } from '../../../core/scene/index.ts';
import {
  ball,
  box,
  FLOOR,
  figure,
  held,
  MAN,
  moved,
  posed,
  scene,
  standing,
  WOMAN,
} from './scenes.ts';

/**
 * The job's cases as scenes (design.md, "The job's cases"; common practice, no source). Our own people
 * and things; poses are as simple as the case allows.
 */
const ada = (pose: Pose, contacts: Figure['contacts'] = {}): Figure =>
  figure('ada', pose, { name: 'Ada', body: WOMAN, contacts });
const ben = (pose: Pose, contacts: Figure['contacts'] = {}): Figure =>
  figure('ben', pose, { name: 'Ben', body: MAN, contacts });

const pack = (mass: number | null): Load => ({
  ...ball('pack', mass, {
    kind: 'attached',
    figure: 'ada',
    segment: 'chest',
    offset: [0, 0.12, -0.26],
    rotation: IDENTITY,
  }),
  name: 'Pack',
});

const stone = (mass: number | null, by = 'ada'): Load => ({
  ...ball('stone', mass, held(by)),
  name: 'Stone',
});

const FEET = { soleL: 'planted', soleR: 'planted', toesL: 'planted', toesR: 'planted' } as const;
const ON_RIGHT = { soleL: 'lifted', toesL: 'lifted', soleR: 'planted', toesR: 'planted' } as const;
const ON_LEFT = { soleR: 'lifted', toesR: 'lifted', soleL: 'planted', toesL: 'planted' } as const;

const outFront = posed({ upperArm: { flexion: 80 }, lean: 4 });

/** Leans a whole pose over to its right about the line on the floor under its middle. */
const rolled = (pose: Pose, radians: number): Pose => {
  const turn = fromAxisAngle([0, 0, 1], radians);
  return {
    ...pose,
    position: rotate(turn, pose.position),
    rotation: multiply(turn, pose.rotation),
  };
};

/** The pose moved so that one ankle stands over the origin of the plan. */
const onAnkle = (pose: Pose, side: 'L' | 'R'): Pose => {
  const [x, , z] = poseFigure(buildBody(WOMAN), pose).segments[`foot${side}`].position;
  return moved(pose, [0 - x, 0, 0 - z]);
};

const SITTING = { thigh: { flexion: 80 }, shank: { flexion: 100 } };
const chair = (pose: Pose): Scene => {
  const { seat } = buildBody(MAN).patches;
  const { position } = poseFigure(buildBody(MAN), pose).segments.pelvis;
  const top = position[1] + seat.outline[0]![1];
  return scene({
    surfaces: [
      FLOOR,
      box('chair', [0, top / 2, position[2] - 0.05], [0.5, top, 0.45], {
        name: 'Chair',
        kind: 'seat',
      }),
    ],
    figures: [ben(pose, { ...FEET, seat: 'planted', palmL: 'lifted', palmR: 'lifted' })],
  });
};

const child = { table: 'deleva-female', stature: 1.15, mass: 20 } as const;
const carrying = (lean: number): Scene =>
  scene({
    figures: [
      ben(posed({ lean, upperArm: { flexion: 45 }, forearm: { flexion: 60 } }, MAN)),
      figure('cato', moved(standing(child), [0, 0.55, 0.32]), { name: 'Cato', body: child }),
    ],
    grips: (['L', 'R'] as const).map((side) => ({
      id: `arm${side}`,
      a: { kind: 'figure' as const, figure: 'ben', segment: `hand${side}` as const },
      b: { kind: 'figure' as const, figure: 'cato', segment: 'pelvis' as const },
      open: false,
    })),
  });

const REACHING = { trunk: 75, upperArm: { flexion: 90 } };
const ledge = box('ledge', [0, -0.5, -0.85], [3, 1, 2], { name: 'Ledge', kind: 'ledge' });

export const JOB_SCENES: Readonly<Record<string, Scene>> = {
  'a heavy pack, upright': scene({ figures: [ada(posed({}))], loads: [pack(24)] }),
  'a heavy pack, leaning forward': scene({
    figures: [ada(posed({ trunk: 18 }))],
    loads: [pack(24)],
  }),
  'a child carried in arms, upright': carrying(2),
  'a child carried in arms, leaning in': carrying(12),
  'a light ball held out in front': scene({ figures: [ada(outFront)], loads: [stone(1)] }),
  'a heavy ball held out in front': scene({ figures: [ada(outFront)], loads: [stone(30)] }),
  'leaning back against a heavy lift': scene({
    figures: [ada(posed({ lean: -2, trunk: -10, upperArm: { flexion: 45 } }))],
    loads: [stone(24)],
  }),
  'the same without the weight': scene({
    figures: [ada(posed({ lean: -2, trunk: -10, upperArm: { flexion: 45 } }))],
  }),
  'bending to the toes, legs upright': scene({
    figures: [ada(posed({ trunk: 110, upperArm: { flexion: 80 } }))],
  }),
  'bending to the toes, hips going back': scene({
    figures: [ada(posed({ trunk: 110, lean: -10, upperArm: { flexion: 80 } }))],
  }),
  'sitting on a chair': chair(posed(SITTING, MAN)),
  'seat-off with the feet out in front': scene({
    figures: [ben(posed({ thigh: { flexion: 80 }, shank: { flexion: 75 }, trunk: 30 }, MAN), FEET)],
  }),
  'one foot before the other': scene({
    figures: [
      ada(
        posed({
          thighL: { flexion: 25, abduction: -3 },
          thighR: { flexion: -20, abduction: -3 },
          footL: { flexion: -20 },
          footR: { flexion: 15 },
        }),
        FEET,
      ),
    ],
  }),
  'across a beam, hips over it': scene({
    surfaces: [box('beam', [0, -0.1, 0.03], [2, 0.2, 0.095], { name: 'Beam', kind: 'beam' })],
    figures: [ada(posed({}))],
  }),
  'across a beam, leaning': scene({
    surfaces: [box('beam', [0, -0.1, 0.03], [2, 0.2, 0.095], { name: 'Beam', kind: 'beam' })],
    figures: [ada(posed({ lean: 7 }))],
  }),
  'on one foot, hips where they were': scene({ figures: [ada(standing(), ON_RIGHT)] }),
  'on one foot, leaning over it': scene({ figures: [ada(rolled(standing(), 0.09), ON_RIGHT)] }),
  'over a ledge, both feet at the edge': scene({
    surfaces: [ledge],
    figures: [ada(posed(REACHING))],
  }),
  'over a ledge, the other leg raised behind': scene({
    surfaces: [ledge],
    figures: [
      ada(onAnkle(rolled(posed({ ...REACHING, thighR: { flexion: -75 } }), -0.09), 'L'), ON_LEFT),
    ],
  }),
  'over a ledge, the hips going back as well': scene({
    surfaces: [ledge],
    figures: [
      ada(
        onAnkle(rolled(posed({ ...REACHING, thighR: { flexion: -75 }, lean: -9 }), -0.09), 'L'),
        ON_LEFT,
      ),
    ],
  }),
  'a crouched, wide stance': scene({
    figures: [
      ben(
        posed(
          {
            thigh: { flexion: 60, abduction: 25 },
            shank: { flexion: 80 },
            trunk: 25,
            foot: { flexion: -20 },
          },
          MAN,
        ),
        FEET,
      ),
    ],
  }),
};
