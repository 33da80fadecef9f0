import { assess } from '../../core/balance/index.ts';
import { buildBody } from '../../core/body/index.ts';
import { fromAxisAngle, IDENTITY } from '../../core/geometry/index.ts';
import { type Pose, poseFigure, restPose, setJoint } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { seeded } from '../core/geometry/random.ts';
import { mujocoFigure } from './mujoco-figure.ts';
import { type BenchRow, type Spread, timed } from './rows.ts';

const SPEC = { table: 'deleva-female', stature: 1.68, mass: 62 } as const;
const POSES = 64;

/**
 * `assess` of one figure with a pack on the floor (kinematics, centre, contacts, support, margin,
 * verdict, sentence) against mujoco-js doing kinematics and centre of the same figure and pack, in one
 * run, on the same poses. Arms and feet move from call to call, so nothing can be kept from the last one.
 */
export async function run(): Promise<BenchRow[]> {
  const body = buildBody(SPEC);
  const random = seeded(7);
  const pack = { segment: 'chest', offset: [0, 0.1, -0.2], mass: 14 } as const;
  const poses = Array.from({ length: POSES }, (): Pose => {
    const turn = fromAxisAngle([1, 0, 0], -random());
    const { position, ...pose } = restPose(body);
    const place = [position[0] + random(), position[1], position[2] + random()] as const;
    return setJoint(setJoint({ ...pose, position: place }, 'upperArmL', turn), 'forearmR', turn);
  });
  const scenes = poses.map(
    (pose): Scene => ({
      figures: [{ id: 'a', name: 'Ada', body: SPEC, pose, contacts: {} }],
      loads: [
        {
          id: 'pack',
          name: 'Pack',
          shape: { kind: 'box', size: [0.3, 0.5, 0.2] },
          mass: pack.mass,
          place: {
            kind: 'attached',
            figure: 'a',
            segment: pack.segment,
            offset: pack.offset,
            rotation: IDENTITY,
          },
        },
      ],
      surfaces: [
        {
          id: 'floor',
          name: 'Floor',
          kind: 'floor',
          position: [0, 0, 0],
          rotation: IDENTITY,
          size: null,
          friction: 0.8,
        },
      ],
      grips: [],
    }),
  );
  const peer = await mujocoFigure(body, pack);
  const at = (i: number) => i % POSES;
  // Both must find one centre before their times mean anything.
  for (const [i, pose] of poses.entries()) {
    const ours = assess(scenes[i]!).figures[0]!.centre!;
    const theirs = peer.centreOf(pose);
    const apart = Math.hypot(ours[0] - theirs[0], ours[1] - theirs[1], ours[2] - theirs[2]);
    if (!(apart < 1e-9)) throw new Error(`Centres ${apart} m apart in pose ${i}`);
  }

  const [theirs, whole, kinematics] = timed([
    (i) => peer.centreOf(poses[at(i)]!),
    (i) => assess(scenes[at(i)]!),
    (i) => poseFigure(body, poses[at(i)]!),
  ]) as [Spread, Spread, Spread];
  peer.close();

  const against = 'mujoco-js kinematics + centre';
  const row = (name: string, value: number, base?: number): BenchRow => ({
    name,
    value,
    unit: 'us',
    ...(base === undefined ? {} : { ratio: value / base, peer: against }),
  });
  return [
    row('assess, figure + load on the floor, median', whole.median, theirs.median),
    row('assess, figure + load on the floor, p95', whole.p95, theirs.p95),
    row('kinematics + centre alone (poseFigure), median', kinematics.median, theirs.median),
    row(`${against}, median`, theirs.median),
    row(`${against}, p95`, theirs.p95),
  ];
}
