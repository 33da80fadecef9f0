export {
  type Grip,
  type GripForce,
  type Group,
  type GroupBalance,
  type GroupBody,
  type GroupContact,
  type GroupOptions,
  type GroupPatchLoad,
  groupBalance,
  groupRegion,
  groupTilt,
  isAtRest,
  letGo,
  type PartAlone,
} from './bodies.ts';
export { coneGenerators, tangents } from './cones.ts';
export { equilibriumRegion } from './equilibrium-region.ts';
export {
  type CentringMass,
  centringMass,
  impliedMassRange,
  type MassRange,
} from './implied-load.ts';
export {
  type ContactLoad,
  frictionScale,
  type HeldStill,
  type Limit,
  type NotHeld,
  pushLimit,
  type Range,
  type StaticOptions,
  staticLoads,
  tiltAngle,
} from './static-loads.ts';
export { GRAVITY, riseToTip, speedToTip, toppleTime } from './tipping.ts';
export type {
  ConeShape,
  ContactPoint,
  EmptyReason,
  EmptyRegion,
  EquilibriumRegion,
  Region,
  RegionOptions,
  UnboundedRegion,
} from './types.ts';
