import type { StoredKey } from '../core/document/keys.ts';
import type { NoteState, NoteWeight } from '../core/document/notes.ts';
import type { Pin } from '../core/document/pins.ts';
import type { ShotState } from '../core/document/scenes.ts';
import type { Role } from '../core/protocol/roles.ts';
import type { Scene } from '../core/scene/types.ts';

/** An invented member of the demo review. `ink` is an index of the twelve inks, 0..11. */
export interface DemoPerson {
  readonly id: string;
  readonly name: string;
  readonly role: Role;
  readonly ink: number;
}

export interface DemoReply {
  /** Person id. */
  readonly by: string;
  readonly text: string;
}

/** A note on a draft. Pins name things by their ids in the draft's scene. */
export interface DemoNote {
  /** Person id. */
  readonly by: string;
  readonly pin: Pin;
  /** Frame that it speaks of; null where the shot is one pose. */
  readonly frame: number | null;
  readonly text: string;
  readonly weight: NoteWeight;
  readonly state: Exclude<NoteState, 'kept'>;
  readonly replies: readonly DemoReply[];
}

export interface DemoDraft {
  /** What changed, in a few words. */
  readonly title: string;
  readonly scene: Scene;
  /** Keys that move its figures; none: it is one pose. */
  readonly keys?: readonly StoredKey[];
  readonly notes?: readonly DemoNote[];
}

export interface DemoShot {
  readonly code: string;
  readonly title: string;
  /** Id of a sequence of the review. */
  readonly sequence: string;
  /** Frames per second. */
  readonly rate: number;
  /** First and last frame number, inclusive. */
  readonly frames: readonly [first: number, last: number];
  readonly state: ShotState;
  /** Oldest first; each came from the one before it. */
  readonly drafts: readonly [DemoDraft, ...DemoDraft[]];
}

export interface DemoSequence {
  readonly id: string;
  readonly title: string;
}

/** A whole review as plain data, ready to be put into shared documents. */
export interface DemoReview {
  readonly title: string;
  /** In board order. */
  readonly sequences: readonly DemoSequence[];
  /** In board order within their sequence. */
  readonly shots: readonly DemoShot[];
  readonly people: readonly DemoPerson[];
}
