import type { DocumentName } from '../../core/protocol/roles.ts';

/** Which shared document: one of the three of a review. */
export interface DocumentKey {
  readonly review: string;
  readonly document: DocumentName;
}

export const keyText = ({ review, document }: DocumentKey): string => `${review}/${document}`;

/** One binding of a Yjs client id to a person, for good. */
export interface Author {
  readonly client: number;
  readonly person: string;
}

/** What is stored of a document. Applying the snapshot and then the updates gives its state. */
export interface StoredDocument {
  readonly snapshot: Uint8Array | null;
  readonly updates: readonly StoredUpdate[];
  /** Whose each client id is, by client id. */
  readonly authors: ReadonlyMap<number, string>;
  /** Rows that could not be read; they are kept apart and have been reported. */
  readonly quarantined: number;
}

export interface StoredUpdate {
  readonly seq: number;
  readonly bytes: Uint8Array;
}

/** How far an appended update has come; the updates of one batch have the same promises. */
export interface Appended {
  /**
   * Resolves when it is in the log, where the end of this process cannot take it away any more;
   * rejects when its commit failed.
   */
  readonly written: Promise<void>;
  /** Resolves when the disk has it, so that not even a power cut takes it away; rejects when it did not. */
  readonly durable: Promise<void>;
}

/**
 * The log of accepted updates. The order of `append` calls is the order of the log. SQLite is the
 * default; a shared database can take its place. tests/helpers/update-store-contract.ts says what
 * every implementation must do.
 */
export interface UpdateStore {
  /** True while there is no room for anything more: reading goes on, appending would fail. */
  readonly isFull: boolean;

  /** Runs each time when there is room again. */
  whenRoom(run: () => void): void;

  /** The whole document, everything appended before included. */
  load(key: DocumentKey): Promise<StoredDocument>;

  /**
   * Adds an update. Updates appended within one tick are committed together.
   * @param authors client ids that the update binds, kept in the same commit
   */
  append(key: DocumentKey, update: Uint8Array, authors?: readonly Author[]): Appended;

  /**
   * Replaces everything appended to the document so far by one snapshot, in one transaction. The
   * caller encodes the snapshot and calls this without a pause between, so that both speak of the
   * same state.
   */
  compact(key: DocumentKey, snapshot: Uint8Array): Promise<void>;

  /** Moves an update that cannot be applied out of the log, so that the rest of it can be. */
  quarantine(key: DocumentKey, update: StoredUpdate, reason: string): Promise<void>;

  /** Commits what is waiting and lets go of the storage. */
  close(): Promise<void>;
}
