export { solveReach } from './solve.ts';
export type {
  CentreGoal,
  CentreLoad,
  PlaceGoal,
  Planted,
  SolveProblem,
  SolveResult,
} from './types.ts';
