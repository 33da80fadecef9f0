export { assess } from './assess.ts';
export { centreOfPressure, type Push } from './pressure.ts';
export type {
  ContactPoint,
  EquilibriumRegion,
  RegionOptions,
} from './region/index.ts';
export { equilibriumRegion } from './region/index.ts';
export {
  type BalanceReport,
  type FigureReading,
  type GroupReading,
  type Margin,
  type Reading,
  type Support,
  VERDICTS,
  type Verdict,
} from './types.ts';
export { DEAD_BAND } from './verdict.ts';
