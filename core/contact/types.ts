import type { PatchName, SegmentName } from '../body/types.ts';
import type { Vec3 } from '../geometry/types.ts';

/** A member of the scene that something else rests on. */
export type Carrier =
  | { readonly kind: 'load'; readonly load: string }
  | { readonly kind: 'figure'; readonly figure: string; readonly segment: SegmentName };

/** One patch of a figure (or the underside of a load) that rests on a surface. */
export interface Contact {
  /** `figure/patch`, or `load` for a load's underside: stable across frames. */
  readonly id: string;
  /** Id of the figure or load. */
  readonly owner: string;
  readonly patch: PatchName | 'underside';
  /** Id of the surface; of a member of the scene that carries it (`upon`): the load's, or `figure/segment`. */
  readonly surface: string;
  /** The load or figure that carries it, where that is no surface. */
  readonly upon?: Carrier;
  /** Unit normal of the surface, pointing at the body. */
  readonly normal: Vec3;
  readonly friction: number;
  /** World outline of the touching area, metres; 1, 2 or more vertices. */
  readonly outline: readonly Vec3[];
  /** World outline of its functional part clipped to the surface; empty where there is none. */
  readonly functional: readonly Vec3[];
  /** True where the surface ends under the patch (a ledge, a beam), so that its outline is cut there. */
  readonly clipped: boolean;
  /** `gripping`: a palm closed round a bar or over an edge, which pulls too. */
  readonly setting: 'auto' | 'planted' | 'gripping';
}
