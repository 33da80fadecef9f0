/**
 * The public face of the core: pure functions over plain readonly data. SI units, Y up, figures face
 * +Z, the floor is y = 0, plan coordinates are (x, z), quaternions are [x, y, z, w].
 */
export {
  assess,
  type BalanceReport,
  type ContactPoint,
  centreOfPressure,
  type EquilibriumRegion,
  equilibriumRegion,
  type FigureReading,
  type GroupReading,
  type GroupStudy,
  type Margin,
  type Push,
  type Reading,
  type RegionOptions,
  type Study,
  type StudyOptions,
  type Support,
  study,
  VERDICTS,
  type Verdict,
} from './balance/index.ts';
export {
  type Body,
  type BodySpec,
  buildBody,
  PATCHES,
  type PatchName,
  SEGMENTS,
  type SegmentName,
  TABLES,
  type TableName,
  tableInfo,
} from './body/index.ts';
export { type Contact, findContacts } from './contact/index.ts';
export {
  convexHull,
  inscribedCircle,
  polygonArea,
  type Quat,
  signedMargin,
  supportPolygon,
  type Transform,
  type Vec2,
  type Vec3,
} from './geometry/index.ts';
export {
  type ClipFrame,
  type ClipProgress,
  type ClipReading,
  type ClipSource,
  type ContactSpan,
  capturePoint,
  contactSpans,
  differentiate,
  extrapolatedCentre,
  fitFlight,
  marginOfStability,
  pressureOf,
  riseFromSeat,
  toppleTime,
  type WeighClipOptions,
  weighClip,
  weighClipSteps,
} from './motion/index.ts';
export {
  type Pose,
  type PosedFigure,
  poseFigure,
  poseFromAngles,
  restPose,
  standOnFloor,
} from './pose/index.ts';
export {
  type Figure,
  type Grip,
  type Load,
  loadTransforms,
  posedFigures,
  type Scene,
  type Surface,
} from './scene/index.ts';
