import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join as joinPath } from 'node:path';
import { createDecoder, readVarString, readVarUint, readVarUint8Array } from 'lib0/decoding';
import {
  createEncoder,
  toUint8Array,
  writeUint8Array,
  writeVarString,
  writeVarUint,
  writeVarUint8Array,
} from 'lib0/encoding';
import { WebSocket } from 'ws';
import { MESSAGE_SAVED } from '../../core/protocol/index.ts';
import type { Served } from '../../server/serve.ts';
import { builtProgram } from '../helpers/built.ts';
import { join } from '../helpers/sync-client.ts';
import { KEPT_UPDATES, keptText } from './peers-kept.ts';

/** Ours; `@y/websocket-server`; `@hocuspocus/server`. */
export type Kind = 'ours' | 'a' | 'b';

export interface Usage {
  /** Microseconds of processor time so far. */
  readonly cpu: { readonly user: number; readonly system: number };
  /** Bytes of heap and buffers, when asked for after a collection. */
  readonly held: number;
}

/** Milliseconds of processor time between two looks. */
export const cpuMs = (from: Usage, to: Usage): number =>
  (to.cpu.user + to.cpu.system - from.cpu.user - from.cpu.system) / 1000;

/** A server under load in a process of its own. */
export class ServerUnderLoad {
  readonly kind: Kind;
  readonly port: number;
  readonly links: Served['links'];
  readonly #child: ChildProcess;
  readonly #data: string;

  static build(): Promise<string> {
    return builtProgram(['bench', 'peers-server.ts'], 'bench-peers');
  }

  /** @param kept updates that a peer, which keeps none itself, finds in every room it loads */
  static async start(
    program: string,
    kind: Kind,
    kept: readonly Uint8Array[] = [],
  ): Promise<ServerUnderLoad> {
    const data = mkdtempSync(joinPath(tmpdir(), 'counterlean-peers-'));
    if (kept.length > 0) writeFileSync(joinPath(data, KEPT_UPDATES), keptText(kept));
    const child = spawn(process.execPath, ['--expose-gc', program, kind, data], {
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    });
    const ready = await new Promise<{ port: number; links?: Served['links'] }>(
      (resolve, reject) => {
        child.once('message', (message) => resolve((message as { ready: { port: number } }).ready));
        child.once('exit', (code) => reject(new Error(`the server ${kind} ended with ${code}`)));
      },
    );
    return new ServerUnderLoad(kind, child, data, ready);
  }

  private constructor(
    kind: Kind,
    child: ChildProcess,
    data: string,
    { port, links = null }: { port: number; links?: Served['links'] },
  ) {
    this.kind = kind;
    this.port = port;
    this.links = links;
    this.#child = child;
    this.#data = data;
  }

  /** What it has used; `collected`: after a collection, for memory that is still held. */
  usage(collected = false): Promise<Usage> {
    return new Promise((resolve) => {
      this.#child.once('message', (message) => resolve(message as Usage));
      this.#child.send({ collected });
    });
  }

  async stop(): Promise<void> {
    const gone = new Promise((resolve) => this.#child.once('exit', resolve));
    this.#child.kill('SIGKILL');
    await gone;
    rmSync(this.#data, { recursive: true, force: true });
  }

  /** Cookies of people who may write; the peers ask for none. */
  async people(count: number): Promise<string[]> {
    const { links } = this;
    if (links === null) return Array.from({ length: count }, () => '');
    return Promise.all(Array.from({ length: count }, () => join(links.lead)));
  }
}

/**
 * A bare client of any of the three servers: it does not keep a document, so that what is measured is
 * the server. `onUpdate` gets the bytes of each update, `onSaved` the numbers of barriers.
 */
export class BareClient {
  onUpdate: (update: Uint8Array) => void = () => undefined;
  onSaved: (number: number) => void = () => undefined;
  readonly opened: Promise<void>;
  readonly #socket: WebSocket;
  readonly #prefix: string | null;
  #sentAway = '';

  constructor({ kind, port }: ServerUnderLoad, room: string, cookie: string) {
    const path = kind === 'ours' ? `sync/${room}/scenes` : room;
    this.#prefix = kind === 'b' ? room : null;
    this.#socket = new WebSocket(`ws://127.0.0.1:${port}/${path}`, { headers: { cookie } });
    let welcome: () => void = () => undefined;
    const welcomed = new Promise<void>((resolve) => {
      welcome = resolve;
    });
    this.opened = new Promise<void>((resolve, reject) => {
      this.#socket.once('open', resolve);
      this.#socket.once('error', reject);
    }).then(() => {
      if (kind === 'b') this.#send((encoder) => writeUint8Array(encoder, Uint8Array.of(2, 0)), '');
      // "I have nothing": the answer says that the room is there.
      this.ask();
      return welcomed;
    });
    this.#socket.on('close', (code, reason) => {
      this.#sentAway = `${code} ${reason.toString()}`;
    });
    this.#socket.on('message', (data: Buffer) => {
      const decoder = createDecoder(new Uint8Array(data.buffer, data.byteOffset, data.byteLength));
      if (this.#prefix !== null) readVarString(decoder);
      const type = readVarUint(decoder);
      if (type === MESSAGE_SAVED) this.onSaved(readVarUint(decoder));
      if (type !== 0 && type !== 4) return;
      const step = readVarUint(decoder);
      if (step === 0) return;
      const update = readVarUint8Array(decoder);
      if (step === 1) welcome();
      this.onUpdate(update);
    });
  }

  /** Asks for everything. */
  ask(): void {
    this.#send((encoder) => {
      for (const number of [0, 0, 1, 0]) writeVarUint(encoder, number);
    });
  }

  send(update: Uint8Array): void {
    this.#send((encoder) => {
      writeVarUint(encoder, 0);
      writeVarUint(encoder, 2);
      writeVarUint8Array(encoder, update);
    });
  }

  /** Sends a frame of ours as it is. */
  sendFrame(frame: Uint8Array): void {
    this.#socket.send(frame);
  }

  barrier(number: number): void {
    this.#send((encoder) => {
      writeVarUint(encoder, MESSAGE_SAVED);
      writeVarUint(encoder, number);
    });
  }

  /** Ends it without waiting for what is still to come. A server under too much load may have before. */
  end(): void {
    this.#socket.terminate();
  }

  close(): Promise<void> {
    this.#mustBeOpen();
    const closed = new Promise<void>((resolve) => this.#socket.once('close', () => resolve()));
    this.#socket.close();
    return closed;
  }

  #mustBeOpen(): void {
    // A server that sent it away would make the figures those of another load.
    if (this.#socket.readyState !== WebSocket.OPEN) {
      throw new Error(`a client was sent away: ${this.#sentAway}`);
    }
  }

  #send(write: (encoder: ReturnType<typeof createEncoder>) => void, token: string | null = null) {
    const encoder = createEncoder();
    if (this.#prefix !== null) writeVarString(encoder, this.#prefix);
    const inner = createEncoder();
    write(inner);
    writeUint8Array(encoder, toUint8Array(inner));
    if (token !== null) writeVarString(encoder, token);
    this.#socket.send(toUint8Array(encoder));
  }
}
