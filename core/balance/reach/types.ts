import type { Vec2, Vec3 } from '../../geometry/index.ts';
import type { Lock, Planted } from '../../pose/index.ts';
import type { Changes } from '../ways-back/types.ts';

/** Parts of a figure that a hand can take hold of; `forearm` is the elbow, `shank` the knee. */
export const HANDLES = [
  'head',
  'chest',
  'pelvis',
  'handL',
  'handR',
  'forearmL',
  'forearmR',
  'shankL',
  'shankR',
  'footL',
  'footR',
] as const;
export type Handle = (typeof HANDLES)[number];

/** What is taken hold of: a part of a figure, a load, or a figure's centre with what it carries. */
export type Grab =
  | { readonly kind: 'part'; readonly figure: string; readonly part: Handle }
  | { readonly kind: 'load'; readonly load: string }
  | { readonly kind: 'centre'; readonly figure: string };

export interface ReachSettings {
  /** Keeps the plumb line of the moved figure over where it is, or over a plan point; left out: it may go. */
  readonly keep?: 'here' | Vec2;
  /** Joints that do not turn, by figure. */
  readonly locks?: Readonly<Record<string, readonly Lock[]>>;
}

/** What a reach came to. */
export interface Reached {
  readonly changes: Changes;
  /** The thing is where it was wanted: to 0.5 mm, a centre to 1 mm, a kept plumb line to 5 mm. */
  readonly reached: boolean;
  /** How far it is from there, metres. */
  readonly off: number;
}

/** A thing in the hand: asked again and again where it shall be, from one start. */
export interface Reaching {
  /** Where it was when it was taken hold of, world, metres. */
  readonly at: Vec3;
  /** What keeps its place meanwhile. */
  readonly planted: readonly Planted[];
  /** The scene's changes with the thing at `target` (world, metres; of a centre only x and z count). */
  to(target: Vec3): Reached;
}
