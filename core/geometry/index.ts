export {
  convexHull,
  type Hull,
  type HullKind,
  SAME_POINT,
  supportPolygon,
  toPlan,
} from './hull.ts';
export { type Circle, inscribedCircle } from './inscribed-circle.ts';
export {
  type FlatPlace,
  FRAME_WIDTH_MM,
  flatPlace,
  horizonAt,
  type LinedUp,
  type LineUpMarks,
  lineUp,
  type PerspectiveMarks,
  type PictureCamera,
} from './line-up.ts';
export {
  containsPoint,
  type Nearest,
  nearestOnPolygon,
  nearestOnSegment,
  signedMargin,
} from './margin.ts';
export { placePoints } from './place-points.ts';
export {
  clipByHalfPlane,
  clipByHalfSpace,
  clipConvex,
  polygonArea,
  signedArea,
} from './polygon.ts';
export {
  angleBetween,
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
