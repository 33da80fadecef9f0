import { createDecoder, readVarString, readVarUint } from 'lib0/decoding';
import { createEncoder, toUint8Array, writeVarUint } from 'lib0/encoding';
import { IndexeddbPersistence } from 'y-indexeddb';
import { messageYjsSyncStep1, messageYjsUpdate } from 'y-protocols/sync';
import { messageSync, WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { MESSAGE_HELD, MESSAGE_REFUSED, MESSAGE_SAVED } from '../../core/protocol/index.ts';
import { RecentUpdates } from './recent-updates.ts';
import type { SavedState } from './types.ts';

// A stock provider gives a silent connection up after 30 s; asking twice in that time keeps it.
const HEARTBEAT_MS = 12_000;

export interface LineOptions {
  /** Address of the sync sockets, ws: or wss:. */
  readonly serverUrl: string;
  /** `REVIEW/DOCUMENT`. */
  readonly room: string;
  /** Names the history that this line goes on with; the server turns it away when it has another. */
  readonly generation: string;
  /** Name of the store in this browser, or null where nothing is kept. */
  readonly store: string | null;
  /** Whether this person's role may write the document: only then is there anything to save. */
  readonly writes: () => boolean;
  readonly onState: () => void;
  readonly onRefused: (reason: string) => void;
  /** The server cannot take changes just now and will ask for them again. */
  readonly onHeld: (reason: string) => void;
  /** The server closed for good (codes 4400 to 4499). */
  readonly onClosed: (code: number) => void;
}

/**
 * One shared document: its Y.Doc, its socket, its copy in this browser, and whether what was done
 * here has reached the server's disk.
 *
 * "Saved" is a barrier: after each own edit the line sends a number, and the server returns it once
 * all that came before is committed. After a reconnect the barrier is sent once more behind the
 * answer to the server's question for missing edits.
 */
export class DocumentLine {
  readonly doc = new Y.Doc();
  readonly provider: WebsocketProvider;
  readonly #options: LineOptions;
  readonly #store: IndexeddbPersistence | null;
  readonly #heartbeat: ReturnType<typeof setInterval>;
  #sent = 0;
  #confirmed = 0;
  /** Edits of this line that no barrier covers yet. */
  #open = false;
  /** The server asked for what it misses, on this connection, and was answered. */
  #answered = false;
  #everFailed = false;
  #everSynced = false;
  /** Edits made without a line that this browser's store has not written yet. */
  #unkept = 0;
  #barrierQueued = false;
  readonly #recent = new RecentUpdates();

  constructor(options: LineOptions) {
    this.#options = options;
    this.#store = options.store === null ? null : new IndexeddbPersistence(options.store, this.doc);
    this.provider = new WebsocketProvider(options.serverUrl, options.room, this.doc, {
      connect: false,
      disableBc: true,
      params: { generation: options.generation },
    });
    this.provider.awareness.setLocalState(null);
    this.#handleMessages();
    this.doc.on('update', this.#onUpdate);
    this.provider.on('status', this.#onStatus);
    this.provider.on('sync', (synced: boolean) => {
      if (synced) {
        this.#everSynced = true;
        this.#queueBarrier();
      }
      options.onState();
    });
    this.provider.on('closed', ({ code }: { code: number }) => options.onClosed(code));
    this.#heartbeat = setInterval(() => this.#send(this.#sent), HEARTBEAT_MS);
  }

  /** Resolves when the copy in this browser is loaded; at once where there is none. */
  async loaded(): Promise<void> {
    await this.#store?.whenSynced;
  }

  connect(): void {
    this.provider.connect();
  }

  /** Resolves when the server's state has arrived. */
  async synced(): Promise<void> {
    if (this.provider.synced) return;
    await new Promise<void>((resolve) => {
      const listen = (synced: boolean): void => {
        if (!synced) return;
        this.provider.off('sync', listen);
        resolve();
      };
      this.provider.on('sync', listen);
    });
  }

  get saved(): SavedState {
    if (!this.provider.wsconnected) return this.#everFailed ? 'offline' : 'saving';
    if (!this.provider.synced) return 'saving';
    if (!this.#options.writes()) return 'saved';
    return this.#answered && !this.#open && this.#confirmed >= this.#sent ? 'saved' : 'saving';
  }

  /**
   * Whether the server's state may still be on its way for the first time: neither has it come, nor
   * has the line failed.
   */
  get awaited(): boolean {
    return !this.#everSynced && !this.#everFailed;
  }

  /** Whether this browser's own copy is behind; while it is, nothing may be called kept. */
  get keeping(): boolean {
    return this.#unkept > 0;
  }

  /** Forgets the copy in this browser, so that the next opening starts from the server's state. */
  async forget(): Promise<void> {
    await this.#store?.clearData();
  }

  async close(): Promise<void> {
    clearInterval(this.#heartbeat);
    this.doc.off('update', this.#onUpdate);
    this.provider.destroy();
    await this.#store?.destroy();
    this.doc.destroy();
  }

  readonly #onUpdate = (update: Uint8Array, origin: unknown): void => {
    if (origin === this.provider || origin === this.#store) return;
    this.#open = true;
    if (this.provider.wsconnected) this.#recent.went(update);
    else this.#waitUntilKept();
    this.#queueBarrier();
    this.#options.onState();
  };

  /** "Kept here" is said once the store has written: its transactions on one table end in order. */
  #waitUntilKept(): void {
    const database = this.#store?.db;
    if (!database) return;
    this.#unkept += 1;
    const transaction = database.transaction(['updates'], 'readwrite', { durability: 'strict' });
    // Without a request a transaction may end before its turn has come.
    transaction.objectStore('updates').count();
    const end = (): void => {
      this.#unkept -= 1;
      this.#options.onState();
    };
    transaction.addEventListener('complete', end);
    transaction.addEventListener('abort', end);
  }

  readonly #onStatus = ({ status }: { status: string }): void => {
    if (status === 'disconnected') {
      this.#everFailed = true;
      this.#open ||= this.#confirmed < this.#sent;
      this.#sent = 0;
      this.#confirmed = 0;
      this.#answered = false;
    } else if (status === 'connected') {
      // Before anything that follows on it.
      const recent = this.#recent.message();
      if (recent !== null) this.#sendMessage(recent);
    } else if (status === 'connecting' && this.provider.wsUnsuccessfulReconnects > 0) {
      this.#everFailed = true;
    }
    this.#options.onState();
  };

  #handleMessages(): void {
    const handlers = this.provider.messageHandlers;
    const sync = handlers[messageSync];
    if (sync === undefined) throw new Error('the sync provider has no handler for sync messages');
    handlers[messageSync] = (encoder, decoder, provider, emitSynced, type) => {
      const kind = readVarUint(createDecoder(decoder.arr.subarray(decoder.pos)));
      if (kind === messageYjsUpdate) this.#recent.came(decoder.arr);
      sync(encoder, decoder, provider, emitSynced, type);
      if (kind !== messageYjsSyncStep1) return;
      // The answer leaves when this handler returns; the barrier must come behind it.
      this.#answered = true;
      this.#queueBarrier();
    };
    handlers[MESSAGE_SAVED] = (_encoder, decoder) => {
      this.#confirmed = Math.max(this.#confirmed, readVarUint(decoder));
      this.#options.onState();
    };
    handlers[MESSAGE_REFUSED] = (_encoder, decoder) => {
      this.#options.onRefused(readVarString(decoder));
    };
    handlers[MESSAGE_HELD] = (_encoder, decoder) => {
      this.#options.onHeld(readVarString(decoder));
    };
  }

  /** One barrier for all edits of this turn of the event loop. */
  #queueBarrier(): void {
    if (this.#barrierQueued) return;
    this.#barrierQueued = true;
    queueMicrotask(() => {
      this.#barrierQueued = false;
      if (!this.#send(this.#sent + 1)) return;
      this.#sent += 1;
      this.#open = false;
    });
  }

  #send(number: number): boolean {
    const encoder = createEncoder();
    writeVarUint(encoder, MESSAGE_SAVED);
    writeVarUint(encoder, number);
    return this.#sendMessage(toUint8Array(encoder));
  }

  #sendMessage(message: Uint8Array): boolean {
    const socket = this.provider.ws;
    if (!this.provider.wsconnected || socket === null || socket.readyState !== socket.OPEN) {
      return false;
    }
    socket.send(message as Uint8Array<ArrayBuffer>);
    return true;
  }
}
