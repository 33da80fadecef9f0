export { boxesOf, type SurfaceBox, USUAL_STEPS } from './boxes.ts';
export { facing, headingTurn } from './facing.ts';
export { floorSurface } from './floor.ts';
export { FRICTION_PAIRS, type FrictionPair, frictionPair } from './frictions.ts';
export { handsOf, loadMasses } from './load-masses.ts';
export { DENSITIES, extentsOf, MATERIALS, type Material, massOf, volumeOf } from './materials.ts';
export {
  bodyOf,
  loadTransforms,
  massCentre,
  posedFigures,
  weightTransforms,
} from './place.ts';
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
  CONTACT_SETTINGS,
  type ContactSetting,
  type Figure,
  type Grip,
  type GripEnd,
  LOAD_LOOKS,
  type Load,
  type LoadLook,
  type LoadPlace,
  type LoadShape,
  type Scene,
  SURFACE_KINDS,
  type Surface,
  type SurfaceKind,
  type SurfaceParts,
} from './types.ts';
