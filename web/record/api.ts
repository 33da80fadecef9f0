import { asNumber, asOneOf, asRecord, asText } from '../../core/document/index.ts';
import { ROLES, type Role } from '../../core/protocol/index.ts';
import { ApiError, base, call, json } from '../session/index.ts';

/** What the page asks the server about the record of a review. All throw ApiError. */

export const PAPERS = ['a4', 'letter'] as const;
export type PaperName = (typeof PAPERS)[number];

const SHEET_STATES = ['waiting', 'working', 'made', 'failed'] as const;

export interface SheetState {
  readonly id: string;
  readonly state: (typeof SHEET_STATES)[number];
  readonly done: number;
  readonly of: number;
}

const fieldsOf = async (response: Response): Promise<Readonly<Record<string, unknown>>> =>
  asRecord(await response.json()) ?? {};

const listOf = (value: unknown): Readonly<Record<string, unknown>>[] =>
  (Array.isArray(value) ? value : []).map(asRecord).filter((item) => item !== null);

function toSheet(fields: Readonly<Record<string, unknown>>): SheetState {
  const id = asText(fields.id);
  const state = asOneOf(fields.state, SHEET_STATES);
  if (id === null || state === null) throw new ApiError(500, 'The server made no sheet.');
  return { id, state, done: asNumber(fields.done) ?? 0, of: asNumber(fields.of) ?? 0 };
}

/** Begins a review sheet. @param shots ids; null: all */
export const beginSheet = async (
  review: string,
  paper: PaperName,
  shots: readonly string[] | null,
): Promise<SheetState> =>
  toSheet(await fieldsOf(await call(`${base(review)}/sheets`, json('POST', { paper, shots }))));

export const readSheet = async (review: string, sheet: string): Promise<SheetState> =>
  toSheet(await fieldsOf(await call(`${base(review)}/sheets/${encodeURIComponent(sheet)}`)));

export async function dropSheet(review: string, sheet: string): Promise<void> {
  await call(`${base(review)}/sheets/${encodeURIComponent(sheet)}`, { method: 'DELETE' });
}

/** Address of a sheet that is made. */
export const sheetAddress = (review: string, sheet: string, keep: boolean): string =>
  `${base(review)}/sheets/${encodeURIComponent(sheet)}/sheet.pdf${keep ? '?keep=yes' : ''}`;

export const recordAddress = (review: string, file: string): string =>
  `${base(review)}/record/${file}`;

/** Makes a new review of a review file; gives its id and title. */
export async function bringReview(
  review: string,
  bytes: Blob,
): Promise<{ id: string; title: string }> {
  const init = { method: 'POST', headers: { 'content-type': 'application/zip' }, body: bytes };
  const fields = await fieldsOf(await call(`${base(review)}/beside`, init));
  return { id: asText(fields.id) ?? '', title: asText(fields.title) ?? '' };
}

export interface Token {
  readonly id: string;
  readonly label: string;
  readonly role: Role;
  readonly expiresAt: string | null;
  readonly usedAt: string | null;
  /** Told once, when it is made. */
  readonly secret: string | null;
}

const toToken = (fields: Readonly<Record<string, unknown>>): Token => ({
  id: asText(fields.id) ?? '',
  label: asText(fields.label) ?? '',
  role: asOneOf(fields.role, ROLES) ?? 'guest',
  expiresAt: asText(fields.expiresAt),
  usedAt: asText(fields.usedAt),
  secret: asText(fields.secret),
});

export const readTokens = async (review: string): Promise<Token[]> =>
  listOf((await fieldsOf(await call(`${base(review)}/tokens`))).tokens).map(toToken);

export const addToken = async (
  review: string,
  token: { label: string; role: Role; days: number | null },
): Promise<Token> =>
  toToken(await fieldsOf(await call(`${base(review)}/tokens`, json('POST', token))));

export async function dropToken(review: string, token: string): Promise<void> {
  await call(`${base(review)}/tokens/${encodeURIComponent(token)}`, { method: 'DELETE' });
}

export interface Webhook {
  readonly id: string;
  readonly url: string;
  /** Told once, when it is made. */
  readonly secret: string | null;
}

const toWebhook = (fields: Readonly<Record<string, unknown>>): Webhook => ({
  id: asText(fields.id) ?? '',
  url: asText(fields.url) ?? '',
  secret: asText(fields.secret),
});

export const readWebhooks = async (review: string): Promise<Webhook[]> =>
  listOf((await fieldsOf(await call(`${base(review)}/webhooks`))).webhooks).map(toWebhook);

export const addWebhook = async (review: string, url: string): Promise<Webhook> =>
  toWebhook(await fieldsOf(await call(`${base(review)}/webhooks`, json('POST', { url }))));

export async function dropWebhook(review: string, webhook: string): Promise<void> {
  await call(`${base(review)}/webhooks/${encodeURIComponent(webhook)}`, { method: 'DELETE' });
}

export interface Delivery {
  readonly madeAt: string;
  readonly tries: number;
  readonly nextAt: string | null;
  readonly fault: string | null;
}

/** What a webhook was told last, the newest first. */
export const readDeliveries = async (review: string, webhook: string): Promise<Delivery[]> => {
  const path = `${base(review)}/webhooks/${encodeURIComponent(webhook)}/deliveries`;
  return listOf((await fieldsOf(await call(path))).deliveries).map((fields) => ({
    madeAt: asText(fields.madeAt) ?? '',
    tries: asNumber(fields.tries) ?? 0,
    nextAt: asText(fields.nextAt),
    fault: asText(fields.fault),
  }));
};
