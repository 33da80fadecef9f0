import type { DoubtfulPoint } from '../../core/formats/index.ts';
import { posedFigures } from '../../core/scene/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { type CharacterMesh, MeshOfClip } from './character-mesh.ts';
import type { Ghost } from './ghosts.ts';
import { type Paths, pathsAbout } from './paths.ts';
import { contactPosesAbout } from './runs.ts';
import { weighingOf } from './weighing.ts';

/** The same each time: what is given anew is drawn anew. */
const NO_GHOSTS: readonly Ghost[] = [];
const NO_DOUBTS: readonly DoubtfulPoint[] = [];

/** What a moving draft adds to elevation and plan at the frame shown; nothing for one pose. */
export class MotionOnBench {
  readonly #character: MeshOfClip;
  #ghosts: { readonly key: string; readonly ghosts: readonly Ghost[] } | null = null;

  /** @param ready called when a mesh has been read */
  constructor(ready: () => void) {
    this.#character = new MeshOfClip(ready);
  }

  /** The contact poses before and after the frame, if they are wanted. */
  ghosts(live: LiveDraft): readonly Ghost[] {
    const { motion, timing } = live;
    if (motion === null) return NO_GHOSTS;
    const { look, whole, version } = weighingOf(live);
    if (!look.ghosts || whole === null) return NO_GHOSTS;
    const frames = contactPosesAbout(whole.spans, live.frame).filter(
      (frame) => frame < motion.frameCount,
    );
    const key = `${version} ${frames.join()}`;
    if (this.#ghosts?.key !== key) {
      const ghosts = frames.map((frame) => ({
        number: frame + timing.frames[0],
        figures: [...posedFigures(motion.sceneAt(frame)).values()],
      }));
      this.#ghosts = { key, ghosts };
    }
    return this.#ghosts.ghosts;
  }

  /** The character's own mesh, if it has one and it is wanted. */
  mesh(live: LiveDraft): CharacterMesh | null {
    if (live.motion === null || !weighingOf(live).look.mesh) return null;
    return this.#character.at(live.clip, live.frame);
  }

  /** Ways of centre, extrapolated centre and pressure, if they are wanted. */
  paths(live: LiveDraft): Paths | null {
    if (live.motion === null) return null;
    const { look, frames } = weighingOf(live);
    return look.paths ? pathsAbout(frames, live.frame, live.motion.rate) : null;
  }

  /** Points that a picture shows badly or not at all. */
  doubts({ clip, frame }: LiveDraft): readonly DoubtfulPoint[] {
    return clip.kind === 'ready' ? clip.read.doubtsAt(frame) : NO_DOUBTS;
  }
}
