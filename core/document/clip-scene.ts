import type { Scene } from '../scene/types.ts';

/**
 * The scene of a draft that plays a clip: the clip's figures at a frame, with what was added to the
 * draft around them. Page and server weigh the same scene by it.
 *
 * Of two things with one id, the clip's figure stands before a stored one (the clip moves it), and a
 * stored load, surface or grip before the clip's (somebody has changed it).
 */
export function sceneWithClip(added: Scene, played: Scene): Scene {
  return {
    figures: join(added.figures, played.figures),
    loads: join(played.loads, added.loads),
    surfaces: join(played.surfaces, added.surfaces),
    grips: join(played.grips, added.grips),
  };
}

function join<T extends { readonly id: string }>(base: readonly T[], over: readonly T[]): T[] {
  return [...base.filter(({ id }) => !over.some((item) => item.id === id)), ...over];
}
