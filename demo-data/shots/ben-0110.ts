import { buildBody } from '../../core/body/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import type { Scene, Surface } from '../../core/scene/index.ts';
import { note, reply } from '../people.ts';
import { type Stance, settle, type Wish } from '../poses.ts';
import { block, figure, floor, scene } from '../scenes.ts';
import type { DemoShot } from '../types.ts';

const body = { table: 'deleva-male', stature: 1.7, mass: 68 } as const;
const built = buildBody(body);
export const SEAT = 0.45;
const FOOT = built.footLength;
const heelBehindAnkle = -Math.min(...built.patches.soleL.outline.map((point) => point[2]));
const soleBelowAnkle = -(built.patches.soleL.outline[0] as Vec3)[1];
const thigh = -built.segments.shankL.offset[1];
const shank = -built.segments.footL.offset[1];

/** Hip joints above the floor while he sits. */
const SITTING = SEAT - (built.patches.seat.outline[0] as Vec3)[1];
const STANDING = built.hipHeight;

/** A key pose of the rise; the feet stay where they are, ankles at z = 0. */
export interface KeyPose {
  readonly frame: number;
  /** Shanks forward of the vertical, degrees; below 0 with the feet out before the knees. */
  readonly shank: number;
  /** Hip joints above the floor, metres. */
  readonly hip: number;
  /** Lean of the trunk, degrees, or where the plumb line lands along the foot (0 heel, 1 toe tip). */
  readonly trunk?: number;
  readonly line?: number;
  /** Upper arms forward of the trunk, degrees. */
  readonly arms: number;
}

const DEGREE = Math.PI / 180;

/** Legs from the height of the hips and the slant of the shanks; the trunk from the plumb line. */
export function rising(key: KeyPose): Stance {
  const knee = soleBelowAnkle + shank * Math.cos(key.shank * DEGREE);
  const flexion = Math.acos(Math.min(1, (key.hip - knee) / thigh)) / DEGREE;
  const stance: Stance = {
    body,
    angles: {
      trunk: key.trunk ?? 30,
      thigh: { flexion },
      shank: { flexion: flexion + key.shank },
      head: { flexion: -8 },
      upperArm: { flexion: key.arms, abduction: 6 },
      forearm: { flexion: 35 },
    },
  };
  if (key.line === undefined) return stance;
  const target = key.line * FOOT - heelBehindAnkle;
  const onTheLine: Wish = (posed) => [posed.centre[2] - target];
  return settle(stance, ['trunk'], onTheLine);
}

const ease = (share: number): number => share * share * (3 - 2 * share);

/**
 * The figure at any frame: key poses joined by ease-in and ease-out, held before the first and after
 * the last. The legs are reckoned anew at each frame, so the feet never slide.
 */
export function risingAt(frame: number): Stance {
  const keys = KEY_POSES.map((key) => ({ ...key, trunk: rising(key).angles.trunk ?? 0 }));
  const next = keys.findIndex((key) => key.frame > frame);
  const last = keys.at(-1) as (typeof keys)[number];
  const to = next === -1 ? last : (keys[next] as (typeof keys)[number]);
  const from = next === -1 ? last : (keys[Math.max(0, next - 1)] as (typeof keys)[number]);
  const length = to.frame - from.frame;
  const share = length === 0 ? 0 : ease(Math.max(0, (frame - from.frame) / length));
  const mix = (a: number, b: number): number => a + (b - a) * share;
  return rising({
    frame,
    shank: mix(from.shank, to.shank),
    hip: mix(from.hip, to.hip),
    trunk: mix(from.trunk, to.trunk),
    arms: mix(from.arms, to.arms),
  });
}

/** The bench and its back leg, under the hips of a man who sits with this slant of the shanks. */
export function bench(slant: number): Surface[] {
  const knee = soleBelowAnkle + shank * Math.cos(slant * DEGREE);
  const ahead = Math.sqrt(thigh ** 2 - (SITTING - knee) ** 2);
  const hipZ = shank * Math.sin(slant * DEGREE) - ahead;
  return [
    block('seat', 'Ferry bench', 'seat', [0, SEAT, hipZ - 0.02], [0.9, 0.05, 0.4]),
    block('leg', 'Bench leg', 'box', [0, SEAT - 0.05, hipZ - 0.17], [0.9, SEAT - 0.05, 0.05]),
  ];
}

export const FEET_BACK = 18;
const FEET_OUT = -15;

/** Seat-off is a finger's breadth above the seat: the bench carries nothing any more. */
const OFF = 0.02;

export const KEY_POSES: readonly KeyPose[] = [
  { frame: 1, shank: FEET_BACK, hip: SITTING, line: -0.69, arms: 12 },
  { frame: 12, shank: FEET_BACK, hip: SITTING, line: -0.09, arms: 55 },
  { frame: 16, shank: FEET_BACK + 1, hip: SITTING + OFF, line: 0.13, arms: 70 },
  { frame: 22, shank: FEET_BACK + 1, hip: 0.64, line: 0.29, arms: 72 },
  { frame: 28, shank: 12, hip: 0.79, line: 0.25, arms: 40 },
  { frame: 36, shank: 3.3, hip: STANDING - 0.002, line: 0.36, arms: 6 },
];

// While he sits he rolls over his seat bones; the seat carries him at any lean of the trunk.
const shown = (key: KeyPose, slant = FEET_BACK): Scene =>
  scene({
    figures: [
      figure('ferryman', 'Ferryman', rising(key), {
        seat: key.hip === SITTING ? 'planted' : 'lifted',
      }),
    ],
    surfaces: [floor('Deck'), ...bench(slant)],
  });

const [sit, lean, off, low, mid, stand] = KEY_POSES as readonly [
  KeyPose,
  KeyPose,
  KeyPose,
  KeyPose,
  KeyPose,
  KeyPose,
];

export const ferryman: DemoShot = {
  code: 'BEN-0110',
  title: 'The ferryman gets up',
  sequence: 'house',
  rate: 24,
  frames: [1, 44],
  state: 'in-work',
  drafts: [
    {
      title: 'f 16, feet out before him',
      scene: shown(
        { frame: 16, shank: FEET_OUT, hip: SITTING + OFF, trunk: 45, arms: 75 },
        FEET_OUT,
      ),
      notes: [
        note(
          'tove',
          { kind: 'contact', contact: 'ferryman/soleL' },
          'Seat leaves before the line reaches the heels. Nose over toes first, feet back under the knees.',
          {
            frame: 16,
            weight: 'must',
            state: 'answered',
            replies: [reply('lio', 'Feet drawn back 18 from draft 2 on.')],
          },
        ),
        note(
          'pell',
          { kind: 'plumb', figure: 'ferryman' },
          'Line is 18 cm behind the heels. He would need a real swing forward to catch it.',
          { frame: 16 },
        ),
      ],
    },
    { title: 'f 1, sits, feet drawn back', scene: shown(sit) },
    { title: 'f 12, trunk comes forward', scene: shown(lean) },
    {
      title: 'f 16, seat-off',
      scene: shown(off),
      notes: [
        note(
          'nadja',
          { kind: 'shot' },
          'Could he be older? Then a hand on the rail: one more thing that carries.',
          { frame: 16, weight: 'could' },
        ),
      ],
    },
    { title: 'f 22, low', scene: shown(low) },
    { title: 'f 28, half way', scene: shown(mid) },
    {
      title: 'f 36, stands',
      scene: shown(stand),
      notes: [
        note(
          'tove',
          { kind: 'joint', figure: 'ferryman', segment: 'pelvis' },
          'Give the stand a moving hold from f 36, 1 cm of drift. Dead still looks propped up.',
          { frame: 40, weight: 'should' },
        ),
      ],
    },
  ],
};
