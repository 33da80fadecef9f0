import type * as Y from 'yjs';
import type { BalanceReport } from '../../core/balance/types.ts';
import type {
  ClipLink,
  Drag,
  Person,
  Pin,
  Presence,
  ShotTiming,
  WhatIf,
} from '../../core/document/index.ts';
import type { MovingClip } from '../../core/formats/index.ts';
import type { ClipSource } from '../../core/motion/index.ts';
import type { DocumentName, Role } from '../../core/protocol/index.ts';
import type { Scene } from '../../core/scene/types.ts';

/**
 * What every element of the page may rely on: who I am, the shared documents, my undo, who else is
 * here, and a draft that is weighed while it changes.
 */

/** Origin of every edit of mine; undo takes back these and nothing else. */
export const USER_ORIGIN = { source: 'user' } as const;

/**
 * `saved`: on the server's disk. `saving`: sent, not yet confirmed. `offline`: kept in this browser
 * until the line is back.
 */
export type SavedState = 'saved' | 'saving' | 'offline';

/** Someone else who is here, with the connection it comes from (one person may have two windows). */
export interface Other extends Presence {
  readonly client: number;
  /** By the record, like the name; null as long as the record does not know them. */
  readonly role: Role | null;
}

/** What I may change of my own presence. */
export type Showing = Partial<Omit<Presence, 'person' | 'name' | 'ink'>>;

export interface SessionEvents {
  /** My name, ink or role changed. */
  me: Person;
  saved: SavedState;
  /**
   * Somebody came, left, moved, selected or dragged; or I took up or ended a drag, a way with
   * somebody, a call along, a raised hand. At most once a frame for what others do.
   */
  presence: undefined;
  /** What can be undone or redone changed. */
  undo: undefined;
  /** Which shots' readings are hidden for a call changed. */
  hidden: undefined;
  /** A sentence for the polite message region. */
  message: string;
  /** The server refused an edit, or this browser must join again: the page opens a fresh session. */
  stale: { readonly reason: string; readonly joinAgain: boolean };
}

export interface Session {
  readonly review: string;
  /** Names the history of the server's data that this session goes on with. */
  readonly generation: string;
  readonly me: Person;
  readonly documents: Readonly<Record<DocumentName, Y.Doc>>;
  readonly saved: SavedState;

  /** Whether my role lets me write a document; guests see no edit controls. */
  mayWrite(document: DocumentName): boolean;

  /**
   * One step of my undo: runs `change` in one transaction of that document with USER_ORIGIN. Verbs
   * of core/document called inside join the transaction. `label` says in the past tense what was
   * done, e.g. "moved the left hand"; undo says it back. Does nothing but say so when my role does
   * not allow it.
   */
  edit(
    document: 'scenes' | 'notes',
    label: string,
    change: (doc: Y.Doc, origin: typeof USER_ORIGIN) => void,
  ): void;

  /**
   * Whether the readings of a shot are hidden: a call is open on it and has not been shown. Nothing of
   * them may be computed, drawn or told then.
   */
  hides(shot: string): boolean;

  /**
   * Why a draft stays as it is now, as a sentence to say: a call is open on it, or it is sealed; null
   * where it may change. Whatever edits a draft asks first, for the server refuses such an edit, and
   * with it everything after it.
   */
  staysAsItIs(draft: string): string | null;

  readonly canUndo: boolean;
  readonly canRedo: boolean;
  /** Takes back my last step; says what it was, or null when there is none left. */
  undo(): string | null;
  redo(): string | null;

  /** Everybody else who is here. */
  others(): readonly Other[];
  /** Changes my own presence; cursors and drags go out at most 30 times a second. */
  show(showing: Showing): void;
  /** What I show now. */
  readonly showing: Readonly<Required<Showing>>;
  /** My own drag that is under way: live drafts lay it over the entries at once. */
  readonly drag: Drag | null;
  /** My own what-if that is under way. */
  readonly whatIf: WhatIf | null;
  /** Id of the what-if that I, a lead, am ending. */
  readonly ends: string | null;
  /** Ends my drag: its entries become one undo step called `label`. */
  commitDrag(label: string): void;
  /** Gives my drag up: everything goes back to where it was. */
  cancelDrag(): void;

  /** A sentence for the polite message region. */
  say(message: string): void;

  /** A file of the review by content hash; kept in memory once loaded. Throws an Error to show. */
  file(hash: string): Promise<Uint8Array>;
  /** Where the page finds a file of the review, for an image. */
  fileUrl(hash: string): string;
  /** Stores a file in the review; gives its content hash. Throws an Error to show. */
  putFile(bytes: Uint8Array): Promise<string>;

  /** Listens; gives the function that stops it. */
  on<K extends keyof SessionEvents>(
    type: K,
    listener: (detail: SessionEvents[K]) => void,
  ): () => void;
  /** Leaves: closes sockets and stores. */
  close(): void;
}

/** How far a draft's clip is: scenes have none. */
export type ClipState =
  | { readonly kind: 'none' }
  | { readonly kind: 'loading' }
  | { readonly kind: 'failed'; readonly message: string }
  /** How it was read is in `read`: mapping, scale, floor, what was guessed. */
  | {
      readonly kind: 'ready';
      readonly name: string;
      /** Frames per second. */
      readonly rate: number;
      readonly frameCount: number;
      /** The scene at a frame counted from 0, for the margin strip. */
      readonly sceneAt: (frame: number) => Scene;
      readonly read: MovingClip;
      readonly link: ClipLink;
      /** The file itself, for the worker and for its mesh. */
      readonly bytes: Uint8Array;
    };

/** Someone whose in-flight drag lies over the draft. */
export interface Mover {
  readonly person: string;
  readonly name: string;
  readonly ink: number;
  /** Entry keys that move. */
  readonly keys: readonly string[];
  readonly mine: boolean;
}

/** A what-if that lies over the draft: grips that are shown as let go. */
export interface Supposed {
  readonly id: string;
  readonly person: string;
  readonly name: string;
  readonly ink: number;
  readonly mine: boolean;
  /** Ids of the grips. */
  readonly open: readonly string[];
}

/**
 * One draft as it is seen now: the stored entries, everybody's in-flight drags and what-ifs laid over them, and
 * the balance report of that, computed at most once per animation frame. Fires `change` (an Event)
 * after each new computation, and `closed` in the end.
 */
export interface LiveDraft extends EventTarget {
  readonly session: Session;
  readonly shot: string;
  readonly draft: string;
  readonly scene: Scene;
  readonly report: BalanceReport;
  /** Entries as shown, drags included; keys of core/document/scene-entries.ts. */
  readonly entries: ReadonlyMap<string, unknown>;
  readonly movers: readonly Mover[];
  /** What-ifs that lie over the draft now, the oldest person's name first. */
  readonly supposed: readonly Supposed[];
  /** A lead has sealed the draft: nobody changes it until it is unsealed. */
  readonly sealed: boolean;
  /** The readings of its shot are hidden for a call: the report is empty. */
  readonly hidden: boolean;
  /** A call is open on this very draft: nobody changes it until it is shown. */
  readonly called: boolean;
  /** Why the scene as written could not be weighed (the last report stands); null when it could. */
  readonly problem: string | null;
  readonly clip: ClipState;
  /** The draft in motion: its clip, or its keys; null where it is one pose. */
  readonly motion: ClipSource | null;
  /** Rate and frame numbers of the shot. */
  readonly timing: ShotTiming;
  /** Frame shown, counted from 0; 0 where it is one pose. */
  readonly frame: number;
  setFrame(frame: number): void;
  close(): void;
}

/**
 * The bench element `<cl-bench>` (web/bench): elevation over plan, weight ledger, margin strip, and
 * the tools that edit the draft. The shell sets these properties and makes a new element for each
 * draft; around it the shell shows title, drafts, badge (`<cl-badge>`) and the notes panel.
 *
 * Events it fires (bubbling, composed):
 * - `cl-select`, detail SelectDetail: another thing is selected, or none;
 * - `cl-note`, detail { note: string }: a note's pin was pressed.
 * The element shows the pins of the shot's notes for this draft itself (readNotes of the notes
 * document), and sets presence `selection`, `cursor`, `drag`, `frame` through the session.
 */
export interface BenchProperties {
  session: Session;
  live: LiveDraft;
  /** The selected thing; null for none. The shell sets it when a note is chosen. */
  selection: Pin | null;
  /** The note that is open in the panel, to be marked on the drawing; null for none. */
  note: string | null;
}

export interface SelectDetail {
  readonly pin: Pin | null;
  /** What a person would call it, e.g. "left hand of the porter". */
  readonly label: string;
}
