export { readSceneJson, type SceneRead, writeSceneJson } from './scene-json.ts';
export { SCENE_FILE_VERSION, sceneJsonSchema } from './scene-schema.ts';
