import load from 'mujoco-js';
import type { Vec3 } from '../../../core/geometry/index.ts';
import type { PointMasses } from '../../../core/motion/index.ts';

/** Known truth of one moment of a simulated body, in our axes (Y up). */
export interface Moment {
  readonly points: PointMasses;
  readonly centre: Vec3;
  readonly velocity: Vec3;
  /** Angular momentum about the mass centre, kg m2/s. */
  readonly momentum: Vec3;
}

/** Moments of inertia small enough to make every part a point mass beside its path, kg m2. */
const POINT = '1e-7 1e-7 1e-7';

/** MuJoCo's z up (x, y, z) is (x, z, -y) here. */
const ours = (a: ArrayLike<number>, at = 0): Vec3 => [a[at]!, a[at + 2]!, -a[at + 1]!];

/**
 * Runs a MuJoCo model (3.3.8 through mujoco-js, an independent simulator) and reads it at a frame rate.
 * @param worldbody XML of the bodies
 * @param pose generalised positions and speeds at the start
 * @param before called before every step with the time, for a torque that drives the body
 */
export async function simulate(
  worldbody: string,
  pose: { readonly qpos: readonly number[]; readonly qvel: readonly number[] },
  { rate, frames, drive }: { rate: number; frames: number; drive?: (time: number) => number[] },
): Promise<Moment[]> {
  const mj = await load();
  const perFrame = 8;
  const joints = (worldbody.match(/<joint name="(\w+)"/g) ?? []).map((m) => m.slice(13, -1));
  const motors = joints.map((name) => `<motor joint="${name}"/>`).join('');
  const xml = `<mujoco><compiler angle="radian"/>
    <option timestep="${1 / rate / perFrame}" gravity="0 0 -9.81" integrator="RK4"><flag contact="disable"/></option>
    <worldbody>${worldbody}</worldbody><actuator>${drive ? motors : ''}</actuator></mujoco>`;
  (mj as unknown as { FS: { writeFile(path: string, text: string): void } }).FS.writeFile(
    '/body.xml',
    xml,
  );
  const model = mj.MjModel.loadFromXML('/body.xml');
  const data = new mj.MjData(model);
  data.qpos.set(pose.qpos);
  data.qvel.set(pose.qvel);
  const masses = Array.from(model.body_mass as ArrayLike<number>).slice(1);
  const moments: Moment[] = [];
  for (let frame = 0; frame < frames; frame++) {
    mj.mj_forward(model, data);
    mj.mj_subtreeVel(model, data);
    const places = new Float64Array(3 * masses.length);
    masses.forEach((_, i) => {
      places.set(ours(data.xipos, 3 * (i + 1)), 3 * i);
    });
    moments.push({
      points: { masses, places },
      centre: ours(data.subtree_com),
      velocity: ours(data.subtree_linvel),
      momentum: ours(data.subtree_angmom),
    });
    for (let step = 0; step < perFrame; step++) {
      if (drive) data.ctrl.set(drive(frame / rate + step / rate / perFrame));
      mj.mj_step(model, data);
    }
  }
  data.delete();
  model.delete();
  return moments;
}

/** A trunk with two arms and two legs of one part each, free in space. */
export const FLYER = `
  <body name="trunk"><freejoint/><inertial pos="0 0 0.1" mass="38" diaginertia="${POINT}"/>
    ${limb('armL', '0 0.2 0.4', 4, '0 0.1 -0.3')}${limb('armR', '0 -0.2 0.4', 4, '0 -0.1 -0.3')}
    ${limb('legL', '0 0.1 -0.1', 11, '0 0 -0.45')}${limb('legR', '0 -0.1 -0.1', 11, '0 0 -0.45')}
  </body>`;

function limb(name: string, at: string, mass: number, centre: string): string {
  return `<body pos="${at}"><joint name="${name}" axis="0 1 0"/>
    <inertial pos="${centre}" mass="${mass}" diaginertia="${POINT}"/></body>`;
}

/**
 * Shank-and-thigh, trunk and an arm on a hinge at the floor in (0.05, 0, 0): the floor pushes there and
 * nowhere else. The free ankle takes no torque; hip and shoulder may be driven.
 */
export const BALANCER = `
  <body name="legs" pos="0.05 0 0"><joint name="ankle" axis="0 1 0"/>
    <inertial pos="0 0 0.55" mass="24" diaginertia="${POINT}"/>
    <body pos="0 0 0.9"><joint name="hip" axis="0 1 0"/>
      <inertial pos="0 0 0.3" mass="40" diaginertia="${POINT}"/>
      <body pos="0 0 0.5"><joint name="shoulder" axis="0 1 0"/>
        <inertial pos="0 0 -0.35" mass="7" diaginertia="${POINT}"/></body>
    </body>
  </body>`;

/** The same as one rigid mass on a rod of 0.9 m, hinged at (0.05, 0, 0). */
export const ROD = `
  <body pos="0.05 0 0"><joint name="ankle" axis="0 1 0"/>
    <inertial pos="0 0 0.9" mass="70" diaginertia="${POINT}"/></body>`;
