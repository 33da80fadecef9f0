export { equilibriumRegion } from './equilibrium-region.ts';
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
