export { assess } from './assess.ts';
export { borderOf } from './border.ts';
export { HEADINGS, type Heading } from './heading.ts';
export { endPoint, gripPoint } from './linkage.ts';
export { mainGroup } from './main-group.ts';
export { centreOfPressure, type Push } from './pressure.ts';
export {
  type Grab,
  HANDLES,
  type Handle,
  handleAt,
  type Reached,
  type Reaching,
  type ReachSettings,
  takeHold,
} from './reach/index.ts';
export type {
  ContactPoint,
  EquilibriumRegion,
  RegionOptions,
} from './region/index.ts';
export { equilibriumRegion } from './region/index.ts';
export { type ClosedHand, closedHands, handSets, handsLetGo } from './study/closed-hands.ts';
export { outcomeOf } from './study/let-go.ts';
export { lettingGo } from './study/letting-go.ts';
export { study } from './study/study.ts';
export type {
  Arrow,
  Band,
  CannotTell,
  ContactLoads,
  ContactShare,
  Drop,
  Edges,
  FootShare,
  FrictionDemand,
  GripStudy,
  GroupStudy,
  Growth,
  ImpliedAnswer,
  ImpliedWeight,
  JointPull,
  LetGo,
  MassBand,
  PartAfter,
  PartnerMass,
  Pull,
  Pushes,
  ReachOut,
  Sensitivity,
  Sentence,
  SidePush,
  Study,
  StudyOptions,
  Sturdiness,
  Subject,
  SupportEdge,
  Tipping,
  Told,
} from './study/types.ts';
export { SUBJECTS } from './study/types.ts';
export { contactWords, kilograms } from './study/words.ts';
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
export { type Changes, isRepair, type Repair } from './ways-back/types.ts';
