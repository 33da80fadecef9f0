import type { Study } from '../../core/balance/index.ts';
import type { StudyState } from '../study/index.ts';
import type { Shown } from './shown.ts';

/** A study with what it was of, so that its numbers keep their words while a new one is made. */
export interface SeenStudy {
  readonly shown: Shown;
  readonly study: Study;
}

/** What stands on the leaf now: the study of what is shown, or the last one until there is a new one. */
export function seenStudy(
  before: SeenStudy | null,
  shown: Shown,
  { study, scene, working }: StudyState,
): SeenStudy | null {
  if (study !== null && scene === shown.scene) return { shown, study };
  return study === null && !working ? null : before;
}
