export { AGE_RANGE, usualSize } from './aged-plan.ts';
export { buildBody } from './build-body.ts';
export { turnToHold } from './extra-hold.ts';
export {
  EXTRA_TURNS,
  type Swung,
  swungOf,
  tipIn,
  turnBy,
  turnTowards,
  wingOf,
} from './extra-turns.ts';
export { EXTRA_RANGES, freshExtra } from './extras.ts';
export { tableInfo, USUAL_AGE } from './plan.ts';
export type {
  Body,
  BodySpec,
  Extra,
  ExtraKind,
  ExtraLink,
  ExtraSpec,
  FootForm,
  JointLimits,
  Patch,
  PatchName,
  Segment,
  SegmentName,
  SegmentOverride,
  TableName,
  Weighed,
} from './types.ts';
export { EXTRA_KINDS, FOOT_FORMS, PATCHES, SEGMENTS, TABLES } from './types.ts';
