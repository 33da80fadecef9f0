import { type BodySpec, buildBody } from '../../core/body/index.ts';
import { KEYPOINTS } from '../../core/formats/index.ts';
import { add, rotate, type Vec3 } from '../../core/geometry/index.ts';
import { type Pose, poseFigure } from '../../core/pose/index.ts';

/** A camera far away that looks along -z: pixels a metre, where the world's origin is, and its roll. */
export interface Shutter {
  readonly pixelsPerMetre: number;
  readonly origin: readonly [number, number];
  /** How far true up leans to the right of the picture's up, radians. */
  readonly tilt?: number;
}

/**
 * The 17 points of a posed figure of ours as that camera sees them, v = 2 throughout: x, y, v of each.
 * Ears lie at the head's mass centre's height, 7 cm to each side; nose and eyes 9 cm before it.
 */
export function pictured(spec: BodySpec, pose: Pose, shutter: Shutter): number[] {
  const { segments } = poseFigure(buildBody(spec), pose);
  const centre = buildBody(spec).segments.head.centre[1];
  const onHead = (x: number, y: number, z: number): Vec3 =>
    add(segments.head.position, rotate(segments.head.rotation, [x, centre + y, z]));
  const joint: Record<string, Vec3> = {
    nose: onHead(0, 0, 0.09),
    left_eye: onHead(0.03, 0.03, 0.09),
    right_eye: onHead(-0.03, 0.03, 0.09),
    left_ear: onHead(0.07, 0, 0),
    right_ear: onHead(-0.07, 0, 0),
  };
  for (const [side, word] of [
    ['L', 'left'],
    ['R', 'right'],
  ] as const) {
    joint[`${word}_shoulder`] = segments[`upperArm${side}`].position;
    joint[`${word}_elbow`] = segments[`forearm${side}`].position;
    joint[`${word}_wrist`] = segments[`hand${side}`].position;
    joint[`${word}_hip`] = segments[`thigh${side}`].position;
    joint[`${word}_knee`] = segments[`shank${side}`].position;
    joint[`${word}_ankle`] = segments[`foot${side}`].position;
  }
  const { pixelsPerMetre, origin, tilt = 0 } = shutter;
  const [sin, cos] = [Math.sin(tilt), Math.cos(tilt)];
  return KEYPOINTS.flatMap((name) => {
    const [x, y] = joint[name] as Vec3;
    // The world's right is (cos, sin) in pixels, its up (sin, -cos): up leans right, pixels run down.
    return [
      origin[0] + pixelsPerMetre * (x * cos + y * sin),
      origin[1] + pixelsPerMetre * (x * sin - y * cos),
      2,
    ];
  });
}
