import type { Body, PatchName } from '../../body/types.ts';
import type { Pose } from '../../pose/types.ts';
import type { ContactSetting, LoadPlace, LoadShape, Surface } from '../types.ts';

/** A surface that a pose is made for, beside a figure at the origin that faces +Z; metres. */
export type NeededSurface = Pick<Surface, 'name' | 'kind' | 'position' | 'size'>;

/** A load that a pose is made for; `figure` of its place is filled in by who adds it. */
export interface NeededLoad {
  readonly name: string;
  readonly shape: LoadShape;
  /** Kilograms. */
  readonly mass: number;
  readonly place: LoadPlace;
}

/** A start pose on one body: ankles about the origin, on a floor at y = 0, facing +Z. */
export interface MadePose {
  readonly pose: Pose;
  readonly surfaces: readonly NeededSurface[];
  readonly loads: readonly NeededLoad[];
  /** Contact settings that are not auto. */
  readonly contacts: Readonly<Partial<Record<PatchName, ContactSetting>>>;
}

/** A pose to begin with: our own, made by the reach solver for any body. */
export interface StartPose {
  readonly id: string;
  readonly name: string;
  /** What the balance core says of it, with what it needs. */
  readonly verdict: 'holds' | 'falls';
  make(body: Body): MadePose;
}
