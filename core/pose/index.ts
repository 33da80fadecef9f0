export {
  angleAxis,
  angleRange,
  anglesOf,
  type ClinicalAngles,
  clampJoint,
  fromSwingTwist,
  swingTwist,
  turnOf,
} from './angles.ts';
export {
  blendPoses,
  type JointName,
  limbOf,
  mirrorHalf,
  mirrorPose,
  mirrorTurn,
  otherSide,
  setJoint,
} from './edit-pose.ts';
export {
  lowestPoint,
  palmCentre,
  palmLocal,
  pointOn,
  poseFigure,
  standOnFloor,
} from './pose-figure.ts';
export { type PosePart, poseText, readPoseText, withPart } from './pose-text.ts';
export {
  type CentreGoal,
  type CentreLoad,
  type Lock,
  type PlaceGoal,
  type Planted,
  type SolveProblem,
  type SolveResult,
  solveReach,
} from './solver/index.ts';
export { degreesOf, type PoseAngles, poseFromAngles, restPose } from './start-pose.ts';
export type { Pose, PosedFigure } from './types.ts';
