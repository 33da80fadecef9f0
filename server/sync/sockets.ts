import type { IncomingMessage } from 'node:http';
import type { Duplex } from 'node:stream';
import { type ServerOptions, WebSocket, WebSocketServer } from 'ws';
import { hasVisited, putVisit } from '../../core/document/visits.ts';
import { CLOSE, DOCUMENTS } from '../../core/protocol/index.ts';
import { addressOf } from '../access/address.ts';
import type { Members } from '../access/members.ts';
import { isOurHost, isOurOrigin, type Reach } from '../access/origin.ts';
import type { Sessions } from '../access/sessions.ts';
import { type Clock, type Timer, timeOf } from '../clock.ts';
import type { Log } from '../log.ts';
import type { DocumentKey } from '../storage/update-store.ts';
import { Connection, MAX_MESSAGE_BYTES } from './connection.ts';
import { Packets } from './packet.ts';
import type { Room } from './room.ts';
import type { Rooms } from './rooms.ts';
import { Traffic } from './traffic.ts';

// Twice in the 30 s after which stock clients give a silent server up.
const HEARTBEAT_MS = 14_000;
// How long a client that does not answer the closing handshake keeps its buffers here.
const CLOSE_TIMEOUT_MS = 5000;

// `closeTimeout` is an option of ws 8.19 and later that its types do not name yet.
const OPTIONS: ServerOptions & { closeTimeout: number } = {
  noServer: true,
  // Packets are written past the library (packet.ts), which is only right while nothing is compressed.
  perMessageDeflate: false,
  // Beyond our own limit, so that a message between the two is answered with our close code, which
  // stock clients take as final; past this one ws closes with 1009, and they would try for ever.
  maxPayload: 2 * MAX_MESSAGE_BYTES,
  closeTimeout: CLOSE_TIMEOUT_MS,
};

export interface SocketDeps {
  readonly rooms: Rooms;
  readonly members: Members;
  readonly clock: Clock;
  readonly log: Log;
  readonly reach: Reach;
  readonly sessions: Sessions;
  /** How many proxies of ours stand in front. */
  readonly proxies: number;
  /** Names the history that the documents belong to; a client may say which one it knows. */
  readonly generation: string;
}

/** The sync sockets at /sync/REVIEW/DOCUMENT. */
export class Sockets {
  readonly #deps: SocketDeps;
  readonly #server = new WebSocketServer(OPTIONS);
  readonly #connections = new Map<WebSocket, Connection>();
  readonly #silent = new WeakSet<WebSocket>();
  readonly #traffic: Traffic;
  readonly #packets = new Packets();
  #heartbeat: Timer;

  constructor(deps: SocketDeps) {
    this.#deps = deps;
    this.#traffic = new Traffic(deps.clock);
    this.#heartbeat = deps.clock.after(HEARTBEAT_MS, () => this.#beat());
  }

  /** Takes an HTTP upgrade request over. */
  upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    const host = request.headers.host ?? null;
    const origin = request.headers.origin ?? null;
    const { reach } = this.#deps;
    if (!isOurHost(host, reach) || !isOurOrigin({ host, origin }, reach)) {
      // Another site's page: it learns nothing, not even a close code.
      turnAway(socket, '403 Forbidden');
      return;
    }
    const address = this.#addressOf(request);
    if (!this.#traffic.admits(address)) {
      turnAway(socket, '429 Too Many Requests');
      return;
    }
    this.#server.handleUpgrade(request, socket, head, (webSocket) => {
      this.#welcome(webSocket, socket, request).catch((cause: unknown) => {
        this.#deps.log.problem(`A socket to ${request.url} could not be opened.`, cause);
        webSocket.resume();
        webSocket.close(CLOSE.comeBack, 'the document could not be read');
      });
    });
  }

  /** Sends everybody away, to come back to the next server. */
  async close(): Promise<void> {
    this.#deps.clock.cancel(this.#heartbeat);
    const open = [...this.#server.clients];
    const closed = open.map((webSocket) => new Promise((done) => webSocket.once('close', done)));
    for (const webSocket of open) {
      const connection = this.#connections.get(webSocket);
      connection?.close(CLOSE.comeBack, 'the server is going down');
      // Those that were still being welcomed have no connection yet.
      webSocket.close(CLOSE.comeBack, 'the server is going down');
    }
    await Promise.all(closed);
    this.#server.close();
  }

  #addressOf({ headers, socket }: IncomingMessage): string | null {
    const forwarded = headers['x-forwarded-for'];
    return addressOf(
      { remote: socket.remoteAddress, forwarded: [forwarded ?? []].flat().join(',') || undefined },
      this.#deps.proxies,
    );
  }

  async #welcome(webSocket: WebSocket, socket: Duplex, request: IncomingMessage): Promise<void> {
    // Refusals are close codes, not HTTP answers: a browser shows the page no status of a failed
    // upgrade, and it would look like a line that is down.
    webSocket.on('error', () => undefined);
    const key = keyOf(request.url ?? '');
    if (key === null) return webSocket.close(CLOSE.forbidden, 'there is no such document');
    const known = new URLSearchParams((request.url ?? '').split('?')[1]).get('generation');
    if (known !== null && known !== this.#deps.generation) {
      return webSocket.close(CLOSE.restored, 'the review was put back to an earlier state');
    }
    // Nothing is read before the room is there to take it.
    webSocket.pause();
    const { members, rooms, sessions } = this.#deps;
    const session = sessions.of(request.headers.cookie);
    const refuse = (): void => {
      webSocket.resume();
      webSocket.close(CLOSE.notSignedIn, 'open your invite link again');
    };
    // Asked before loading, so that strangers cannot make the server load; and after it, because the
    // person may have been taken out meanwhile.
    if ((await members.personOf(session, key.review)) === null) return refuse();
    const room = await rooms.acquire(key);
    const person = await members.personOf(session, key.review);
    if (person === null || webSocket.readyState !== WebSocket.OPEN) {
      rooms.release(room);
      return refuse();
    }
    if (!this.#traffic.open(person.id)) {
      rooms.release(room);
      webSocket.resume();
      return webSocket.close(CLOSE.comeBack, 'too many windows are open');
    }
    if (key.document === 'record') noteVisit(room, person.id, this.#deps.clock);
    webSocket.resume();
    const mayTake = this.#traffic.meter(this.#addressOf(request));
    const connection = new Connection(room, person, {
      get bufferedAmount() {
        return webSocket.bufferedAmount;
      },
      // One packet for all who get the frame; the library would frame it anew for each, in two parts.
      send: (frame) => {
        if (webSocket.readyState === WebSocket.OPEN) socket.write(this.#packets.of(frame));
      },
      close: (code, reason) => webSocket.close(code, reason),
    });
    this.#connections.set(webSocket, connection);
    webSocket.on('pong', () => this.#silent.delete(webSocket));
    webSocket.on('message', (data: Buffer, isBinary) => {
      if (!mayTake(data.byteLength)) connection.close(CLOSE.comeBack, 'too much at once');
      else if (isBinary) connection.receive(data);
      else connection.close(CLOSE.badMessage, 'messages are binary');
    });
    webSocket.on('close', () => {
      this.#connections.delete(webSocket);
      connection.leave();
      this.#traffic.close(person.id);
      rooms.release(room);
    });
  }

  /** Ends sockets whose other side has vanished without a word; greets the others. */
  #beat(): void {
    for (const [webSocket, connection] of this.#connections) {
      if (this.#silent.has(webSocket)) {
        webSocket.terminate();
        continue;
      }
      this.#silent.add(webSocket);
      webSocket.ping();
      connection.greet();
    }
    this.#heartbeat = this.#deps.clock.after(HEARTBEAT_MS, () => this.#beat());
  }
}

/** Answers an upgrade request without a socket. */
function turnAway(socket: Duplex, status: string): void {
  socket.on('error', () => socket.destroy());
  socket.end(`HTTP/1.1 ${status}\r\nConnection: close\r\n\r\n`);
}

/** Writes down who opened the review, once a day. */
function noteVisit(record: Room, person: string, clock: Clock): void {
  const at = timeOf(clock);
  if (!hasVisited(record.doc, person, at)) record.write((doc) => putVisit(doc, person, at));
}

function keyOf(url: string): DocumentKey | null {
  const path = url.split('?')[0] ?? '';
  const [, review, name] = /^\/sync\/([\w-]+)\/(\w+)$/.exec(path) ?? [];
  const document = DOCUMENTS.find((known) => known === name);
  return review === undefined || document === undefined ? null : { review, document };
}
