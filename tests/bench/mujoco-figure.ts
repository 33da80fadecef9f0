import load from 'mujoco-js';
import { type Body, SEGMENTS, type SegmentName } from '../../core/body/index.ts';
import type { Quat, Vec3 } from '../../core/geometry/index.ts';
import type { Pose } from '../../core/pose/index.ts';

/** A figure in MuJoCo: the same segments, offsets, masses and centres, a ball joint each. */
export interface MujocoFigure {
  /** Sets a pose, runs kinematics and centres, and gives the whole body's centre, world metres. */
  centreOf(pose: Pose): Vec3;
  close(): void;
}

/**
 * Builds the figure in mujoco-js (MuJoCo 3.3.8, Apache-2.0), which shares no code with us. Massless
 * segments are left out (MuJoCo refuses them); a load is a body fixed to its segment.
 */
export async function mujocoFigure(
  body: Body,
  load_?: { readonly segment: SegmentName; readonly offset: Vec3; readonly mass: number },
): Promise<MujocoFigure> {
  const mujoco = await load();
  const moving = SEGMENTS.filter((name) => body.segments[name].mass > 0);
  const order: SegmentName[] = [];
  const text = (v: Vec3) => v.map((x) => x.toPrecision(17)).join(' ');
  const inertial = (at: Vec3, mass: number) =>
    `<inertial pos="${text(at)}" mass="${mass.toPrecision(17)}" diaginertia="1 1 1"/>`;
  const element = (name: SegmentName): string => {
    order.push(name);
    const segment = body.segments[name];
    const children = moving.filter((child) => body.segments[child].parent === name).map(element);
    const carried =
      load_?.segment === name
        ? `<body pos="${text(load_.offset)}">${inertial([0, 0, 0], load_.mass)}</body>`
        : '';
    const joint = segment.parent === null ? '<freejoint/>' : '<joint type="ball"/>';
    return `<body name="${name}" pos="${text(segment.offset)}">${joint}${inertial(segment.centre, segment.mass)}${children.join('')}${carried}</body>`;
  };
  const xml = `<mujoco><compiler angle="radian"/><worldbody>${element('pelvis')}</worldbody></mujoco>`;
  mujoco.FS.writeFile('/figure.xml', xml);
  const model = mujoco.MjModel.loadFromXML('/figure.xml');
  const data = new mujoco.MjData(model);
  // MuJoCo writes w first: position and rotation of the root, then a quaternion a ball joint.
  const qpos = new Float64Array(7 + 4 * (order.length - 1));
  const put = (at: number, [x, y, z, w]: Quat) => {
    qpos[at] = w;
    qpos[at + 1] = x;
    qpos[at + 2] = y;
    qpos[at + 3] = z;
  };
  const rest: Quat = [0, 0, 0, 1];
  return {
    centreOf(pose) {
      qpos.set(pose.position);
      put(3, pose.rotation);
      for (let i = 1; i < order.length; i++)
        put(3 + 4 * i, pose.joints[order[i] as Exclude<SegmentName, 'pelvis'>] ?? rest);
      data.qpos.set(qpos);
      mujoco.mj_kinematics(model, data);
      mujoco.mj_comPos(model, data);
      const centre = data.subtree_com;
      return [centre[0], centre[1], centre[2]];
    },
    close() {
      data.delete();
      model.delete();
    },
  };
}
