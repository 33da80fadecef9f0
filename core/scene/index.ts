export { facing, headingTurn } from './facing.ts';
export { bodyOf, loadTransforms, posedFigures } from './place.ts';
export {
  loadsOn,
  type MadePose,
  poseAt,
  type Spot,
  START_POSES,
  type StartPose,
  spotOf,
  surfacesAt,
} from './start-poses/index.ts';
export {
  type ContactSetting,
  type Figure,
  type Grip,
  type GripEnd,
  type Load,
  type LoadPlace,
  type LoadShape,
  type Scene,
  SURFACE_KINDS,
  type Surface,
  type SurfaceKind,
} from './types.ts';
