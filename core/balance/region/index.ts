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
  type ReadGroup,
  readGroup,
} from './bodies.ts';
export { coneGenerators, tangents } from './cones.ts';
export { equilibriumRegion, oracleOf } from './equilibrium-region.ts';
export {
  type CentringMass,
  centringMass,
  impliedMassRange,
  type MassRange,
} from './implied-load.ts';
export { likelyForces } from './likely-forces.ts';
export {
  buildProgram,
  type LoadColumn,
  largest,
  middleLoads,
  type Program,
  type ProgramSpec,
  type Support as ProgramSupport,
  smallest,
} from './program.ts';
export {
  type ContactLoad,
  frictionScale,
  type HeldStill,
  type Limit,
  leastFriction,
  type NotHeld,
  pushLimit,
  pushOf,
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
