export { solveReach } from './solve.ts';
export type {
  CentreGoal,
  CentreLoad,
  Lock,
  PlaceGoal,
  Planted,
  SolveProblem,
  SolveResult,
} from './types.ts';
