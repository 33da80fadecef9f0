export {
  applyTransform,
  between,
  conjugate,
  fromAxisAngle,
  IDENTITY,
  multiply,
  normaliseQuat,
  rotate,
  slerp,
} from './quat.ts';
export type { Quat, Transform, Vec2, Vec3 } from './types.ts';
export { add, cross, distance, dot, length, lerp, normalise, scale, subtract } from './vec3.ts';
