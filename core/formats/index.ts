export { type BvhRead, readBvh } from './bvh.ts';
export { bvhJointPositions } from './bvh-pose.ts';
export type { BvhChannel, BvhClip, BvhJoint } from './bvh-types.ts';
export { type ClipRead, readClip } from './clip.ts';
export type { Clip, ClipPlacement } from './clip-build.ts';
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
export { readSceneJson, type SceneRead, writeSceneJson } from './scene-json.ts';
export { SCENE_FILE_VERSION, sceneJsonSchema } from './scene-schema.ts';
