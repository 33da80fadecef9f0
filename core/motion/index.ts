export {
  angularMomenta,
  angularMomentum,
  type PointMasses,
  pointMasses,
} from './angular-momentum.ts';
export {
  type ContactSpan,
  contactSpans,
  type EditedContact,
  withContactSpans,
  withEdited,
} from './contact-spans.ts';
export {
  CUTOFF,
  type DerivativeOptions,
  type Derivatives,
  differentiate,
  type Noise,
} from './derivatives.ts';
export { capturePoint, extrapolatedCentre, marginOfStability } from './extrapolated-centre.ts';
export { localFit, lowPass, type SmoothTrack, smoothTrack } from './filter.ts';
export { type Flight, fitFlight } from './flight.ts';
export { type Exposure, exposures, heldShare } from './held-frames.ts';
export { EASES, type Ease, eased, type KeyPose, keyedFigure } from './keyed.ts';
export {
  GRAVITY,
  type PendulumState,
  pendulumAfter,
  pendulumRate,
  timeForExtrapolated,
  timeToReach,
} from './pendulum.ts';
export {
  type GroundForce,
  groundForce,
  type MovingBody,
  type PressurePoint,
  pressureOf,
  pressurePoint,
} from './pressure.ts';
export { reachesSupport, type Stretch } from './reach-support.ts';
export {
  paiPatton,
  pendulumSpeed,
  type Rise,
  riseFromSeat,
  type SeatOff,
  type SeatOffSpeeds,
  seatOffSpeeds,
} from './rise-from-seat.ts';
export { finish } from './steps.ts';
export {
  carryingParts,
  type Gait,
  gaitOf,
  type SupportSpan,
  supportSpans,
} from './support-changes.ts';
export { FASTEST, slowestShare, tellTiming } from './time-scaling.ts';
export { type Topple, toppleConstant, toppleTime } from './topple.ts';
export type {
  ClipFrame,
  ClipProgress,
  ClipReading,
  ClipSource,
  WeighClipOptions,
} from './types.ts';
export {
  type AheadSupport,
  type MotionReading,
  type MotionState,
  motionVerdict,
  TOPPLED,
} from './verdict.ts';
export { weighClip, weighClipSteps } from './weigh-clip.ts';
export { type MotionSummary, worstInMotion } from './worst.ts';
