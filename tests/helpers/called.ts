import { expect } from 'vitest';
import type * as Y from 'yjs';
import { type Answer, readDrafts, readShots } from '../../core/document/index.ts';
import { startServer, type TestServer } from './served.ts';
import { stockClient, synced } from './sync-client.ts';

// Numbers and words that are nowhere else, to be looked for in every byte that a client gets.
export const MARKED: Answer = {
  centre: [0.1234567890123, 1.0987654321098, -0.4567890123456],
  verdict: 'falls',
  heading: 'backwards and to the right',
};

/** All ways in which a sync message could carry the values: lib0's floats, or text. */
export function traces(values: readonly (number | string)[]): Uint8Array[] {
  const texts = values.map((value) => new TextEncoder().encode(String(value)));
  const numbers = values.flatMap((value) => {
    if (typeof value === 'string') return [];
    const [wide, narrow] = [new DataView(new ArrayBuffer(8)), new DataView(new ArrayBuffer(4))];
    wide.setFloat64(0, value);
    narrow.setFloat32(0, value);
    return [new Uint8Array(wide.buffer), new Uint8Array(narrow.buffer)];
  });
  return [...texts, ...numbers];
}

export const holds = (bytes: Uint8Array, trace: Uint8Array): boolean =>
  Buffer.from(bytes).includes(Buffer.from(trace));

export async function ask(
  server: TestServer,
  cookie: string,
  method: string,
  path: string,
  body?: unknown,
  review = 'demo',
) {
  const response = await fetch(`${server.url}/api/reviews/${review}/${path}`, {
    method,
    headers: { cookie, 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  const text = await response.text();
  return { status: response.status, text, body: text === '' ? null : JSON.parse(text) };
}

export interface Seen {
  readonly server: TestServer;
  readonly lead: string;
  readonly scenes: Y.Doc;
  readonly record: Y.Doc;
  readonly shot: string;
  readonly draft: string;
  close(): void;
}

/** A server with a lead who follows scenes and record. */
export async function begin(options = {}): Promise<Seen> {
  const server = await startServer(options);
  const lead = await server.joinAs('lead');
  const [scenes, record] = (['scenes', 'record'] as const).map((document) =>
    stockClient({ ...server, cookie: lead, document }),
  );
  await Promise.all([synced(scenes!), synced(record!)]);
  const [shot] = readShots(scenes!.doc);
  const draft = readDrafts(scenes!.doc, shot!.id).at(-1);
  return {
    ...{ server, lead, scenes: scenes!.doc, record: record!.doc },
    ...{ shot: shot!.id, draft: draft!.id },
    close: () => {
      for (const client of [scenes, record]) client?.destroy();
    },
  };
}

export async function open({ server, lead, shot, draft }: Seen, terms = {}): Promise<string> {
  const { status, body } = await ask(server, lead, 'POST', 'calls', { shot, draft, ...terms });
  expect(status).toBe(201);
  return body.id;
}

export const mine = (server: TestServer, cookie: string, call: string, answer: Answer) =>
  ask(server, cookie, 'PUT', `calls/${call}/mine`, answer);
