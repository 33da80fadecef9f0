import type { Study, StudyOptions, WayOptions, WaysBack } from '../../core/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import { Asker, type AskWaysOptions, type WorkerLike } from './asker.ts';

export type { AskWaysOptions } from './asker.ts';
export { NO_STUDY, StudyLine, type StudyState } from './study-line.ts';

const asker = new Asker(
  () =>
    new Worker(new URL('./study-worker.ts', import.meta.url), {
      type: 'module',
      name: 'study',
    }) as WorkerLike,
);

/**
 * Studies a scene in the worker: everything that statics can say about it (core `study`).
 * Rejects with the signal's reason when it was given up, else with an Error to show.
 */
export const askStudy = (
  scene: Scene,
  options: StudyOptions = {},
  signal?: AbortSignal,
): Promise<Study> => asker.study(scene, options, signal);

/**
 * Looks for ways back of a figure in the worker, one after the other; `onWay` hears of each at once.
 * Giving up by `signal` stops it before the next one. Rejects as `askStudy` does.
 */
export const askWays = (
  scene: Scene,
  figure: string,
  options: WayOptions & AskWaysOptions = {},
): Promise<WaysBack> => asker.ways(scene, figure, options);
