import { createDecoder, readVarString, readVarUint } from 'lib0/decoding';
import { createEncoder, toUint8Array, writeVarUint } from 'lib0/encoding';
import { WebSocket } from 'ws';
import { messageAwareness, messageSync, WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { type DocumentName, MESSAGE_REFUSED, MESSAGE_SAVED } from '../../core/protocol/index.ts';
import { type AwarenessEntry, awarenessFrame, updateFrame } from '../../server/sync/wire.ts';
import { until, within } from './waiting.ts';

/** Follows an invite link as a browser would, and gives the cookie that it got. */
export async function join(link: string, cookie?: string): Promise<string> {
  const headers = cookie === undefined ? {} : { cookie };
  const response = await fetch(link, { redirect: 'manual', headers });
  const given = response.headers.get('set-cookie')?.split(';')[0];
  if (given === undefined) throw new Error(`${link} answered ${response.status} without a cookie`);
  return given;
}

interface Place {
  readonly url: string;
  readonly cookie: string;
  readonly review?: string;
  readonly document: DocumentName;
}

const addressOf = ({ url, review = 'demo', document }: Place): string =>
  `${url.replace('http', 'ws')}/sync/${review}/${document}`;

/** A `ws` socket class that sends a cookie, as a browser's does by itself. */
export function socketWith(cookie: string): typeof globalThis.WebSocket {
  class SocketWithCookie extends WebSocket {
    constructor(address: string | URL, protocols?: string | string[]) {
      super(address, protocols, { headers: { cookie } });
    }
  }
  return SocketWithCookie as unknown as typeof globalThis.WebSocket;
}

/** The stock client, as it comes from y-websocket. */
export function stockClient(place: Place, doc = new Y.Doc()): WebsocketProvider {
  const { url, review = 'demo', document, cookie } = place;
  return new WebsocketProvider(`${url.replace('http', 'ws')}/sync`, `${review}/${document}`, doc, {
    WebSocketPolyfill: socketWith(cookie),
    disableBc: true,
  });
}

/** Resolves when a stock client has the server's state. */
export const synced = (client: WebsocketProvider): Promise<void> =>
  until(client as never, 'sync', () => client.synced, `${client.roomname} in sync`);

/** A stock client's document, once `holds` is true of it. */
export const docUntil = (doc: Y.Doc, holds: () => boolean, what: string): Promise<void> =>
  until(doc as never, 'update', holds, what);

/** Asks a stock client's server whether all that was sent is on disk. */
export async function saved(client: WebsocketProvider, number = 1): Promise<void> {
  const answered = new Promise<void>((resolve) => {
    client.messageHandlers[MESSAGE_SAVED] = (_encoder, decoder) => {
      if (readVarUint(decoder) === number) resolve();
    };
  });
  client.ws?.send(barrierFrame(number) as Uint8Array<ArrayBuffer>);
  await within(answered, `number ${number} back from the server`);
}

export function barrierFrame(number: number): Uint8Array {
  const encoder = createEncoder();
  writeVarUint(encoder, MESSAGE_SAVED);
  writeVarUint(encoder, number);
  return toUint8Array(encoder);
}

/** A frame as it came: its type, its bytes, and the text of a refusal. */
export interface Frame {
  readonly type: number;
  readonly bytes: Uint8Array;
  readonly text: string;
}

/** A bare socket that says what it is told to, well-formed or not. */
export class RawSocket {
  readonly frames: Frame[] = [];
  readonly closed: Promise<{ code: number; reason: string }>;
  readonly socket: WebSocket;

  constructor(place: Place, headers: Record<string, string> = {}) {
    this.socket = new WebSocket(addressOf(place), {
      headers: { cookie: place.cookie, ...headers },
    });
    this.closed = new Promise((resolve) => {
      this.socket.on('close', (code, reason) => resolve({ code, reason: reason.toString() }));
    });
    this.socket.on('error', () => undefined);
    this.socket.on('message', (data: Buffer) => {
      const bytes = new Uint8Array(data);
      const decoder = createDecoder(bytes);
      const type = readVarUint(decoder);
      const text = type === MESSAGE_REFUSED ? readVarString(decoder) : '';
      this.frames.push({ type, bytes, text });
      this.socket.emit('frame');
    });
  }

  async opened(): Promise<this> {
    await until(
      this.socket,
      'open',
      () => this.socket.readyState === WebSocket.OPEN,
      'an open socket',
    );
    return this;
  }

  send(bytes: Uint8Array): void {
    this.socket.send(bytes);
  }

  sendUpdate(update: Uint8Array): void {
    this.send(updateFrame(update));
  }

  sendAwareness(entries: readonly AwarenessEntry[]): void {
    this.send(awarenessFrame(entries));
  }

  /** Resolves when a frame came that fits. */
  async frame(fits: (frame: Frame) => boolean, what: string): Promise<Frame> {
    await until(this.socket, 'frame', () => this.frames.some(fits), what);
    const found = this.frames.find(fits);
    if (found === undefined) throw new Error(what);
    return found;
  }

  /** Resolves when the server has handled all that was sent before, and committed it. */
  async barrier(number: number): Promise<void> {
    this.send(barrierFrame(number));
    await this.frame(
      ({ type, bytes }) => type === MESSAGE_SAVED && bytes[1] === number,
      `number ${number} back from the server`,
    );
  }

  refusal(): Promise<Frame> {
    return this.frame(({ type }) => type === MESSAGE_REFUSED, 'a refusal');
  }

  async close(): Promise<void> {
    this.socket.close();
    await this.closed;
  }
}

export const isSync = ({ type }: Frame): boolean => type === messageSync;
export const isAwareness = ({ type }: Frame): boolean => type === messageAwareness;
