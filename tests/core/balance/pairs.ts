import { type BodySpec, buildBody, SEGMENTS } from '../../../core/body/index.ts';
import type { Vec3 } from '../../../core/geometry/index.ts';
import { type Pose, palmLocal, solveReach } from '../../../core/pose/index.ts';
import type { Grip, Scene } from '../../../core/scene/index.ts';
import { figure, moved, posed, scene, turned } from './scenes.ts';

/** The pair of the job's scenario D2 (our own invention). */
export const HE: BodySpec = { table: 'deleva-male', stature: 1.8, mass: 78 };
export const SHE: BodySpec = { table: 'deleva-female', stature: 1.62, mass: 54 };

export interface Pull {
  /** How far each leans back as one straight line from the ankles, degrees; negative: forward. */
  readonly he: number;
  readonly she: number;
  /** Between the ankles, metres. */
  readonly gap: number;
  /** Where the hands meet, metres before his ankles, and how high. */
  readonly hands: number;
  readonly height?: number;
  readonly open?: boolean;
}

/** Two who face each other and hold both hands: he at the origin facing +z, she beyond the gap. */
export function handInHand({ he, she, gap, hands, height = 1.18, open = false }: Pull): Scene {
  const straight = (spec: BodySpec, back: number): Pose =>
    posed({ lean: -back, trunk: -back, upperArm: { flexion: 60 }, forearm: { flexion: 8 } }, spec);
  const at = (x: number): Vec3 => [x, height, hands];
  const his = holding(HE, straight(HE, he), at(0.16), at(-0.16));
  const hers = moved(turned(straight(SHE, she), Math.PI), [0, 0, gap]);
  return scene({
    figures: [
      figure('he', his, { body: HE }),
      // Her left hand is on his right.
      figure('she', holding(SHE, hers, at(-0.16), at(0.16)), { body: SHE }),
    ],
    grips: [hold('left', 'handL', 'handR', open), hold('right', 'handR', 'handL', open)],
  });
}

function holding(spec: BodySpec, pose: Pose, left: Vec3, right: Vec3): Pose {
  const body = buildBody(spec);
  const goal = (side: 'L' | 'R', target: Vec3) =>
    ({ segment: `hand${side}`, point: palmLocal(body, side), target }) as const;
  return solveReach(body, pose, {
    goals: [goal('L', left), goal('R', right)],
    planted: [],
    locks: [...SEGMENTS.filter((name) => !ARMS.test(name)), 'hips-place', 'hips-turn'],
  }).pose;
}

/** The arms alone reach; wrists stay as they are. */
const ARMS = /^(upperArm|forearm)/;

const hold = (id: string, a: 'handL' | 'handR', b: 'handL' | 'handR', open: boolean): Grip => ({
  id,
  a: { kind: 'figure', figure: 'he', segment: a },
  b: { kind: 'figure', figure: 'she', segment: b },
  open,
});

/** The pair as the job tells it: he out-pulls her (1), both lean until they meet (2). */
export const OUT_PULLED = handInHand({ he: 20, she: 10, gap: 0.51, hands: 0.14 });
export const MEETING = handInHand({ he: 11.6, she: 20, gap: 0.51, hands: 0.31 });
