import type { Kind, ServerUnderLoad } from './peers-kit.ts';

/** Rooms that one person of ours opens: below the sockets that one may have, with four in each. */
const ROOMS_PER_PERSON = 20;

/** A room, and the cookie of somebody who may write there. */
export interface Place {
  readonly room: string;
  readonly cookie: string;
}

/** Rooms that nobody has been in: new reviews of ours, any names at the peers. */
export async function roomsOn(server: ServerUnderLoad, count: number): Promise<Place[]> {
  const cookies = await server.people(Math.ceil(count / ROOMS_PER_PERSON));
  const places: Place[] = [];
  for (let index = 0; index < count; index++) {
    const cookie = cookies[index % cookies.length] ?? '';
    const room = server.kind === 'ours' ? await newReview(server.port, cookie) : `room${index}`;
    places.push({ room, cookie });
  }
  return places;
}

async function newReview(port: number, cookie: string): Promise<string> {
  const response = await fetch(`http://127.0.0.1:${port}/api/reviews`, {
    method: 'POST',
    headers: { cookie, 'content-type': 'application/json' },
    body: JSON.stringify({ title: 'A room' }),
  });
  if (!response.ok) throw new Error(`a review was not made: ${await response.text()}`);
  const { id } = (await response.json()) as { id: string };
  return id;
}

export const KINDS: readonly Kind[] = ['ours', 'a', 'b'];

export const later = (ms: number): Promise<void> =>
  new Promise((resolve) => setTimeout(resolve, ms));
