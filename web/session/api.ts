import {
  type Answer,
  asNumber,
  asOneOf,
  asRecord,
  asText,
  type Person,
  readAnswer,
} from '../../core/document/index.ts';
import { ROLES, type Role } from '../../core/protocol/index.ts';

/** The server's answer was not what was asked for: `status` 0 when there was no answer at all. */
export class ApiError extends Error {
  constructor(
    readonly status: number,
    message: string,
  ) {
    super(message);
  }
}

export interface Invite {
  readonly id: string;
  readonly role: Role;
  /** ISO 8601 time on the server. */
  readonly createdAt: string;
  /** ISO 8601; null: it does not expire. */
  readonly expiresAt: string | null;
  /** How many people may come by it; null: any number. */
  readonly maxUses: number | null;
  /** How many have come. */
  readonly uses: number;
  readonly hasPassphrase: boolean;
  /** Address to send to somebody; the server tells it once, when the link is made. */
  readonly link: string | null;
}

/** What an invite link is to be good for. */
export interface InviteTerms {
  readonly role: Role;
  /** Null: until it is taken back. */
  readonly days: number | null;
  readonly maxUses: number | null;
  readonly passphrase: string | null;
}

const WORDS: Readonly<Record<number, string>> = {
  401: 'This browser is not in the review any more. Open your invite link again.',
  403: 'Your role in this review does not allow that.',
};

/** Asks the server. Throws ApiError with a sentence to show. */
export async function call(path: string, init: RequestInit = {}): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, { credentials: 'same-origin', ...init });
  } catch {
    throw new ApiError(
      0,
      'The server cannot be reached. What you have done is kept here; try again in a moment.',
    );
  }
  if (response.ok) return response;
  const body: unknown = await response.json().catch(() => null);
  const said = asText(asRecord(body)?.message) ?? asText(asRecord(asRecord(body)?.error)?.message);
  throw new ApiError(
    response.status,
    said ??
      WORDS[response.status] ??
      `The server answered ${response.status}; nothing was changed.`,
  );
}

/** A request with a JSON body. */
export const json = (method: string, body: unknown): RequestInit => ({
  method,
  headers: { 'content-type': 'application/json' },
  body: JSON.stringify(body),
});

/** Where the routes of a review begin. */
export const base = (review: string): string => `/api/reviews/${encodeURIComponent(review)}`;

function toPerson(value: unknown): Person {
  const fields = asRecord(asRecord(value)?.person);
  const id = asText(fields?.id);
  const role = asOneOf(fields?.role, ROLES);
  if (!fields || id === null || role === null) {
    throw new ApiError(500, 'The server did not say who you are; open your invite link again.');
  }
  return { id, role, name: asText(fields.name) ?? 'Someone', ink: asNumber(fields.ink) ?? 0 };
}

export interface Me {
  readonly person: Person;
  /** Names the history of the server's data; a restore begins a new one. */
  readonly generation: string;
}

/** Who this browser is in a review. Throws ApiError, 401 or 403 when it has not joined. */
export async function readMe(review: string): Promise<Me> {
  const body: unknown = await (await call(`${base(review)}/me`)).json();
  return { person: toPerson(body), generation: asText(asRecord(body)?.generation) ?? '' };
}

/** Renames the person that this browser is. */
export async function renameMe(review: string, name: string): Promise<void> {
  await call(`${base(review)}/me`, json('PATCH', { name }));
}

function toInvite(value: unknown): Invite | null {
  const fields = asRecord(value);
  const id = asText(fields?.id);
  const role = asOneOf(fields?.role, ROLES);
  if (!id || !role) return null;
  return {
    ...{ id, role, createdAt: asText(fields?.createdAt) ?? '', link: asText(fields?.link) },
    expiresAt: asText(fields?.expiresAt),
    maxUses: asNumber(fields?.maxUses),
    uses: asNumber(fields?.uses) ?? 0,
    hasPassphrase: fields?.hasPassphrase === true,
  };
}

/** Invite links of the review; for the lead. */
export async function readInvites(review: string): Promise<Invite[]> {
  const body: unknown = await (await call(`${base(review)}/invites`)).json();
  const list = asRecord(body)?.invites;
  return (Array.isArray(list) ? list : []).map(toInvite).filter((invite) => invite !== null);
}

/** Makes an invite link; for the lead. */
export async function addInvite(review: string, terms: InviteTerms): Promise<Invite> {
  const body: unknown = await (await call(`${base(review)}/invites`, json('POST', terms))).json();
  const invite = toInvite(body);
  if (invite === null) throw new ApiError(500, 'The server made no link; try once more.');
  return invite;
}

/** Makes an invite link worthless; people who joined with it stay, or are sent out but for oneself. */
export async function removeInvite(
  review: string,
  invite: string,
  people: 'stay' | 'out',
): Promise<void> {
  const path = `${base(review)}/invites/${encodeURIComponent(invite)}?people=${people}`;
  await call(path, { method: 'DELETE' });
}

/** Signs this person out in all their browsers; what this one kept goes with it. */
export async function signOut(): Promise<void> {
  await call('/api/sign-out', { method: 'POST' });
}

/** Whether one can sign in here, so that one's place is found again from any browser. */
export async function offersSignIn(): Promise<boolean> {
  const body: unknown = await (await call('/api/sign-in')).json();
  return asRecord(body)?.offered === true;
}

/** A moment that the review can be brought back to. */
export interface KeptPoint {
  readonly id: string;
  readonly at: string;
  readonly why: 'hour' | 'signed-off' | 'asked';
  /** The shot that was signed off. */
  readonly shot: string | null;
}

export interface PointShot {
  readonly id: string;
  readonly code: string;
  readonly title: string;
  readonly drafts: readonly {
    readonly id: string;
    readonly number: number;
    readonly title: string;
  }[];
}

const listIn = (body: unknown, name: string): readonly unknown[] => {
  const list = asRecord(body)?.[name];
  return Array.isArray(list) ? list : [];
};

function toPoint(value: unknown): KeptPoint[] {
  const fields = asRecord(value);
  const [id, at] = [asText(fields?.id), asText(fields?.at)];
  const why = asOneOf(fields?.why, ['hour', 'signed-off', 'asked'] as const);
  return id && at && why ? [{ id, at, why, shot: asText(fields?.shot) }] : [];
}

/** The points of a review, the newest first; for the lead. */
export async function readPoints(review: string): Promise<KeptPoint[]> {
  const body: unknown = await (await call(`${base(review)}/points`)).json();
  return listIn(body, 'points').flatMap(toPoint);
}

/** Keeps the review as it is now as a point; for the lead. */
export async function addPoint(review: string): Promise<void> {
  await call(`${base(review)}/points`, { method: 'POST' });
}

const pointPath = (review: string, point: string): string =>
  `${base(review)}/points/${encodeURIComponent(point)}`;

/** The shots and drafts that a point holds; for the lead. */
export async function readPoint(review: string, point: string): Promise<PointShot[]> {
  const body: unknown = await (await call(pointPath(review, point))).json();
  return listIn(body, 'shots').flatMap((value) => {
    const fields = asRecord(value);
    const id = asText(fields?.id);
    if (fields === null || id === null) return [];
    const drafts = listIn(fields, 'drafts').flatMap((draft) => {
      const own = asRecord(draft);
      const draftId = asText(own?.id);
      return draftId === null
        ? []
        : [{ id: draftId, number: asNumber(own?.number) ?? 0, title: asText(own?.title) ?? '' }];
    });
    return [{ id, code: asText(fields.code) ?? '', title: asText(fields.title) ?? '', drafts }];
  });
}

/** Adds drafts of a point to the review as new drafts; nothing is overwritten. */
export async function bringDraftsBack(
  review: string,
  point: string,
  drafts: readonly string[],
): Promise<void> {
  await call(`${pointPath(review, point)}/drafts`, json('POST', { drafts }));
}

/** Makes a new review of a point. Gives the lead's link to it. */
export async function bringReviewBack(
  review: string,
  point: string,
  title: string,
): Promise<string> {
  const answer = await call(`${pointPath(review, point)}/review`, json('POST', { title }));
  const body: unknown = await answer.json();
  return asText(asRecord(asRecord(body)?.links)?.lead) ?? '';
}

/** Takes a person out of the review; what they wrote stays. For the lead. */
export async function removePerson(review: string, person: string): Promise<void> {
  await call(`${base(review)}/people/${encodeURIComponent(person)}`, { method: 'DELETE' });
}

/** Stores a file; gives its SHA-256, hex. */
export async function putFile(review: string, bytes: Uint8Array): Promise<string> {
  const init: RequestInit = {
    method: 'PUT',
    headers: { 'content-type': 'application/octet-stream' },
    body: bytes as Uint8Array<ArrayBuffer>,
  };
  const body: unknown = await (await call(`${base(review)}/files`, init)).json();
  const hash = asText(asRecord(body)?.hash);
  if (hash === null) throw new ApiError(500, 'The server did not keep the file; try once more.');
  return hash;
}

/** Where the page finds a file by its hash. */
export const fileUrl = (review: string, hash: string): string =>
  `${base(review)}/files/${encodeURIComponent(hash)}`;

/** A file by its hash. */
export async function readFile(review: string, hash: string): Promise<Uint8Array> {
  const response = await call(fileUrl(review, hash));
  return new Uint8Array(await response.arrayBuffer());
}

const callPath = (review: string, call: string): string =>
  `${base(review)}/calls/${encodeURIComponent(call)}`;

/** Hides the readings of a shot until the call is shown; for the lead. */
export async function openCall(
  review: string,
  terms: {
    readonly shot: string;
    readonly draft: string;
    /** Frame of the clip, counted from 0; null where it is one pose. */
    readonly frame: number | null;
    readonly guests: boolean;
  },
): Promise<void> {
  await call(`${base(review)}/calls`, json('POST', terms));
}

/** Makes the call, or makes it anew. */
export async function sendAnswer(review: string, id: string, answer: Answer): Promise<void> {
  await call(`${callPath(review, id)}/mine`, json('PUT', answer));
}

/** What I have called in an open call; null when nothing yet. */
export async function readMyAnswer(review: string, id: string): Promise<Answer | null> {
  const body: unknown = await (await call(`${callPath(review, id)}/mine`)).json();
  return readAnswer(asRecord(body)?.answer);
}

/** Shows all calls over the truth; for the lead. */
export async function showCall(review: string, id: string): Promise<void> {
  await call(`${callPath(review, id)}/show`, { method: 'POST' });
}

/** Ends a call and forgets what was called; for the lead. */
export async function takeCallBack(review: string, id: string): Promise<void> {
  await call(callPath(review, id), { method: 'DELETE' });
}
