import { startScene as startSceneOf } from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/types.ts';

/** What a new shot starts with: one figure standing upright on the floor. */
export const startScene = (): Scene => startSceneOf(crypto.randomUUID());
