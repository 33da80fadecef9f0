export { facing, headingTurn } from './facing.ts';
export { bodyOf, loadTransforms, posedFigures } from './place.ts';
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
