export { type BvhRead, readBvh } from './bvh.ts';
export { bvhJointPositions } from './bvh-pose.ts';
export type { BvhChannel, BvhClip, BvhJoint } from './bvh-types.ts';
export { type ClipRead, readClip } from './clip.ts';
export { buildClip, type Clip, type ClipBuild, type ClipPlacement } from './clip-build.ts';
export type { JointCorrections } from './clip-corrections.ts';
export { mapClip, readJointName } from './clip-mapping.ts';
export { bvhMotion, type ClipJoint, type ClipMotion } from './clip-motion.ts';
export type { ClipOptions, ClipReport } from './clip-report.ts';
export { type CsvCell, writeCsv } from './csv.ts';
export {
  type GltfMotionRead,
  type GltfRead,
  type GltfSettings,
  gltfSideFiles,
  readGltf,
  readGltfMotion,
} from './gltf.ts';
export {
  type KeypointClip,
  type KeypointOptions,
  type KeypointsRead,
  readKeypoints,
} from './keypoints.ts';
export type { LineUp } from './keypoints-camera.ts';
export { type DoubtfulPoint, FACINGS, type Facing, type PersonSettings } from './keypoints-fit.ts';
export { isKeypointText, KEYPOINTS } from './keypoints-read.ts';
export type { KeypointReport } from './keypoints-report.ts';
export { judgedReport, judgeInPicture, type PictureVerdict } from './keypoints-verdict.ts';
export {
  MOVING_FORMATS,
  type MovingClip,
  type MovingContent,
  type MovingFormat,
  type MovingRead,
  type MovingSettings,
  movingFormat,
  readMoving,
} from './moving-file.ts';
export { balanceReportJsonSchema, studyJsonSchema } from './report-schema.ts';
export { readSceneJson, type SceneRead, writeSceneJson } from './scene-json.ts';
export { SCENE_FILE_VERSION, sceneJsonSchema } from './scene-schema.ts';
export {
  COLUMN_WORDS,
  type ListedShot,
  type ListProblem,
  MAX_LISTED,
  mapColumns,
  readShotList,
  SHOT_COLUMNS,
  type ShotColumn,
  type ShotList,
  separatorOf,
} from './shot-list.ts';
