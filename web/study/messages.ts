import type { Study, StudyOptions, Way, WayOptions, WaysBack } from '../../core/index.ts';
import type { Scene } from '../../core/scene/types.ts';

/** What the page asks its worker, each under a number of its own. All of it is plain data. */
export type Ask =
  | {
      readonly kind: 'study';
      readonly id: number;
      readonly scene: Scene;
      readonly options: StudyOptions;
    }
  | {
      readonly kind: 'ways';
      readonly id: number;
      readonly scene: Scene;
      readonly figure: string;
      readonly options: WayOptions;
    }
  /** The answer to that number is not wanted any more. */
  | { readonly kind: 'drop'; readonly id: number };

/** What the worker answers. A dropped number gets no further answer. */
export type Answer =
  | { readonly kind: 'study'; readonly id: number; readonly study: Study }
  /** One way back; more may follow. */
  | { readonly kind: 'way'; readonly id: number; readonly way: Way }
  /** The last answer to a question for ways. */
  | { readonly kind: 'ways'; readonly id: number; readonly ways: WaysBack }
  | { readonly kind: 'fault'; readonly id: number; readonly message: string };
