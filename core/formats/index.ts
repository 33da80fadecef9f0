export { type BvhRead, readBvh } from './bvh.ts';
export { bvhJointPositions } from './bvh-pose.ts';
export type { BvhChannel, BvhClip, BvhJoint } from './bvh-types.ts';
export { type Clip, type ClipRead, readClip } from './clip.ts';
export { mapClip, readJointName } from './clip-mapping.ts';
export type { ClipOptions, ClipReport } from './clip-report.ts';
export { readSceneJson, type SceneRead, writeSceneJson } from './scene-json.ts';
export { SCENE_FILE_VERSION, sceneJsonSchema } from './scene-schema.ts';
