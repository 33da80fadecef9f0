export { buildBody } from './build-body.ts';
export { tableInfo } from './plan.ts';
export type {
  Body,
  BodySpec,
  JointLimits,
  Patch,
  PatchName,
  Segment,
  SegmentName,
  SegmentOverride,
  TableName,
} from './types.ts';
export { PATCHES, SEGMENTS, TABLES } from './types.ts';
