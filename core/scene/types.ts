import type { BodySpec, PatchName, SegmentName } from '../body/types.ts';
import type { Quat, Vec3 } from '../geometry/types.ts';
import type { Pose } from '../pose/types.ts';
import type { Material } from './materials.ts';

/** What is posed and weighed: plain data, the same in a file, in the shared document, in a test. */
export interface Scene {
  readonly figures: readonly Figure[];
  readonly loads: readonly Load[];
  readonly surfaces: readonly Surface[];
  readonly grips: readonly Grip[];
}

/**
 * `auto`: touches when near enough. `planted`: carries weight whatever the distance (its outline is
 * laid on the surface beneath). `gripping`: a palm that is planted and has closed round what it lies
 * on, a bar or an edge, so that it pulls as well as it pushes; of other parts the same as planted.
 * `lifted`: never carries weight.
 */
export const CONTACT_SETTINGS = ['auto', 'planted', 'gripping', 'lifted'] as const;
export type ContactSetting = (typeof CONTACT_SETTINGS)[number];

export interface Figure {
  readonly id: string;
  readonly name: string;
  readonly body: BodySpec;
  /** Its body in the review's cast, and which body fields it has of its own; `body` has both together. */
  readonly cast?: { readonly body: string; readonly own: readonly string[] };
  readonly pose: Pose;
  /** Missing patches are `auto`. */
  readonly contacts: Readonly<Partial<Record<PatchName, ContactSetting>>>;
}

export type LoadShape =
  | { readonly kind: 'box'; readonly size: Vec3 }
  | { readonly kind: 'ball'; readonly radius: number }
  /** Round about its own y axis; metres. */
  | { readonly kind: 'cylinder'; readonly radius: number; readonly length: number };

/** How a load is drawn; its shape is weighed. */
export const LOAD_LOOKS = ['pack', 'bag', 'basket'] as const;
export type LoadLook = (typeof LOAD_LOOKS)[number];

export type LoadPlace =
  /**
   * In the hands: its centre is the mean of the named palms, moved by `offset` in the chest's frame,
   * and it turns with the chest's heading, from `rotation` (left out: upright).
   */
  | {
      readonly kind: 'held';
      readonly figure: string;
      readonly hands: 'both' | 'left' | 'right';
      readonly offset: Vec3;
      readonly rotation?: Quat;
    }
  /** Fixed to a segment, in that segment's frame (a pack on the chest). */
  | {
      readonly kind: 'attached';
      readonly figure: string;
      readonly segment: SegmentName;
      readonly offset: Vec3;
      readonly rotation: Quat;
    }
  /** Free, with its centre at `position`. */
  | { readonly kind: 'standing'; readonly position: Vec3; readonly rotation: Quat };

export interface Load {
  readonly id: string;
  readonly name: string;
  readonly shape: LoadShape;
  /** Kilograms; null means unknown. */
  readonly mass: number | null;
  /** What it is made of all through; its mass then follows from its size (`massOf`). */
  readonly material?: Material;
  /** Mass centre from its middle, in its own axes, metres: filled off its middle. Left out: the middle. */
  readonly centre?: Vec3;
  readonly look?: LoadLook;
  readonly place: LoadPlace;
}

export const SURFACE_KINDS = [
  'floor',
  'box',
  'seat',
  'step',
  'ledge',
  'wall',
  'slope',
  'beam',
  'rail',
  'table',
  'chair',
  'stool',
  'stair',
  'rope',
] as const;
export type SurfaceKind = (typeof SURFACE_KINDS)[number];

/** Something to stand, sit or lean on: an oriented box, or a plane without end where size is null. */
export interface Surface {
  readonly id: string;
  readonly name: string;
  readonly kind: SurfaceKind;
  /** Centre of the box; for a plane a point on it, metres. */
  readonly position: Vec3;
  readonly rotation: Quat;
  /** Full extents along the surface's own axes, metres; null: an endless plane facing its own +Y. */
  readonly size: Vec3 | null;
  /** Coefficient of static friction, unitless. */
  readonly friction: number;
  /** The pair of materials that the friction was taken from (frictions.ts); left out: set by hand. */
  readonly pair?: string;
  /** What a chair or a stair has besides its size; see `boxesOf`. */
  readonly parts?: SurfaceParts;
}

/** Metres; left out: none (a stair: three steps). */
export interface SurfaceParts {
  /** A chair's back and arms above its seat. */
  readonly back?: number;
  readonly arms?: number;
  /** How many steps a stair has. */
  readonly steps?: number;
}

export type GripEnd =
  | { readonly kind: 'figure'; readonly figure: string; readonly segment: SegmentName }
  | { readonly kind: 'load'; readonly load: string };

/** A hold that carries force between two things. `open` is a stored state, not the let-go test. */
export interface Grip {
  readonly id: string;
  readonly a: GripEnd;
  readonly b: GripEnd;
  readonly open: boolean;
}
