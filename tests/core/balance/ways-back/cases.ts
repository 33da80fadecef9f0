import { SEGMENTS } from '../../../../core/body/index.ts';
import { conjugate, distance, multiply, type Quat } from '../../../../core/geometry/index.ts';
import { type Pose, poseFigure, swingTwist } from '../../../../core/pose/index.ts';
import { bodyOf, type Scene } from '../../../../core/scene/index.ts';
import { demoReview } from '../../../../demo-data/index.ts';

/** The scene of a draft of the demo: its shot's code and its place, 1 the first. */
export function draft(code: string, number: number): Scene {
  const scene = demoReview().shots.find((shot) => shot.code === code)?.drafts[number - 1]?.scene;
  if (scene === undefined) throw new Error(`The demo has no draft ${number} of ${code}`);
  return scene;
}

export function poseIn(scene: Scene, id: string): Pose {
  const figure = scene.figures.find((one) => one.id === id);
  if (figure === undefined) throw new Error(`No figure ${id}`);
  return figure.pose;
}

const angle = (a: Quat, b: Quat): number => {
  const [x, y, z, w] = multiply(a, conjugate(b));
  return 2 * Math.atan2(Math.hypot(x, y, z), Math.abs(w));
};

/** How far a foot of a figure has moved and turned between two scenes, metres and radians. */
export function footMoved(before: Scene, after: Scene, id: string, side: 'L' | 'R') {
  const body = bodyOf(before.figures.find((one) => one.id === id)!.body);
  const a = poseFigure(body, poseIn(before, id)).segments[`foot${side}`];
  const b = poseFigure(body, poseIn(after, id)).segments[`foot${side}`];
  return { metres: distance(a.position, b.position), radians: angle(a.rotation, b.rotation) };
}

/** By how much joints of a figure are out of their ranges, or further out than before, radians. */
export function outOfRange(before: Scene, after: Scene, id: string): number {
  const body = bodyOf(before.figures.find((one) => one.id === id)!.body);
  let most = 0;
  for (const segment of SEGMENTS) {
    if (segment === 'pelvis') continue;
    const was = swingTwist(poseIn(before, id).joints[segment] ?? [0, 0, 0, 1]);
    const is = swingTwist(poseIn(after, id).joints[segment] ?? [0, 0, 0, 1]);
    for (const axis of ['x', 'y', 'z'] as const) {
      const [low, high] = body.segments[segment].limits[axis];
      const out = Math.max(
        Math.min(low, was[axis]) - is[axis],
        is[axis] - Math.max(high, was[axis]),
      );
      most = Math.max(most, out);
    }
  }
  return most;
}
