import { OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import type * as Y from 'yjs';
import { openCallOn } from '../../core/document/calls.ts';
import type { Person } from '../../core/document/record.ts';
import { ROLES, type Role } from '../../core/protocol/roles.ts';
import { addressOf } from '../access/address.ts';
import type { Limits } from '../access/limits.ts';
import type { Members } from '../access/members.ts';
import type { OpenIdDoor } from '../access/open-id.ts';
import type { Reach } from '../access/origin.ts';
import type { Sessions } from '../access/sessions.ts';
import type { Caller } from '../calls/caller.ts';
import type { Clips } from '../clips.ts';
import type { Clock } from '../clock.ts';
import { AppError } from '../errors.ts';
import type { PointKeeper } from '../history/point-keeper.ts';
import type { Log } from '../log.ts';
import type { Assess } from '../mechanics.ts';
import type { SheetJobs } from '../sheet/sheet-jobs.ts';
import type { AccountStore } from '../storage/account-store.ts';
import type { FileStore } from '../storage/file-store.ts';
import type { InviteStore } from '../storage/invite-store.ts';
import type { PersonalTokenStore } from '../storage/personal-token-store.ts';
import type { PointStore } from '../storage/point-store.ts';
import type { ReviewStore } from '../storage/review-store.ts';
import type { Rooms } from '../sync/rooms.ts';
import type { Metrics } from '../watch/metrics.ts';
import type { Readiness } from '../watch/readiness.ts';
import type { WebhookStore } from '../webhooks/webhook-store.ts';

/** Everything that the routes need. Nothing in it listens or reads the environment. */
export interface AppDeps {
  readonly reviews: ReviewStore;
  readonly files: FileStore;
  readonly clips: Clips;
  readonly rooms: Rooms;
  readonly members: Members;
  readonly invites: InviteStore;
  readonly personalTokens: PersonalTokenStore;
  readonly points: PointStore;
  readonly pointKeeper: PointKeeper;
  readonly assess: Assess;
  readonly caller: Caller;
  readonly sheets: SheetJobs;
  readonly webhookStore: WebhookStore;
  /** Whether webhooks may be on this machine and its network. */
  readonly webhooksInner: boolean;
  readonly log: Log;
  readonly metrics: Metrics;
  readonly readiness: Readiness;
  /** Opens /metrics; null: only to this machine. */
  readonly metricsToken: string | null;
  readonly clock: Clock;
  readonly reach: Reach;
  readonly sessions: Sessions;
  readonly limits: Limits;
  /** How many proxies of ours stand in front. */
  readonly proxies: number;
  /** Sign-in with a provider; null where there is none. */
  readonly openId: OpenIdDoor | null;
  readonly accounts: AccountStore;
  /** Names the history that the documents belong to; a restore begins a new one. */
  readonly generation: string;
  /** Folder of the built page; null where there is none. */
  readonly webRoot: string | null;
  /** Review that opens without a link; null: nobody gets in without one. */
  readonly openReview: string | null;
}

export const makeRouter = (): OpenAPIHono =>
  new OpenAPIHono({
    defaultHook: (result) => {
      if (result.success) return;
      const [issue] = result.error.issues;
      const where = issue?.path.join('.') || 'the request';
      throw new AppError('bad-input', `${where}: ${issue?.message ?? 'not understood'}`, HINT_DOCS);
    },
  });

const HINT_DOCS = 'See /api/openapi.json for what this route takes.';

export const sessionOf = (
  context: Context,
  { sessions }: Pick<AppDeps, 'sessions'>,
): string | null => sessions.of(context.req.header('cookie'));

/** The address at the other end of a request's socket. */
export function remoteOf(context: Context): string | undefined {
  // @hono/node-server gives the request behind the context; a test that asks the app itself has none.
  const bindings = context.env as
    | { incoming?: { socket?: { remoteAddress?: string } } }
    | undefined;
  return bindings?.incoming?.socket?.remoteAddress;
}

/** The address that a request's limits are counted by; null: none. */
export function callerOf(context: Context, { proxies }: Pick<AppDeps, 'proxies'>): string | null {
  const forwarded = context.req.header('x-forwarded-for');
  return addressOf({ remote: remoteOf(context), forwarded }, proxies);
}

/** The secret of a personal token that a request brings; null for one that comes from a page. */
export function bearerOf(context: Context): string | null {
  const [, secret] = /^Bearer +(\S+)$/i.exec(context.req.header('authorization') ?? '') ?? [];
  return secret ?? null;
}

/**
 * The person that a request comes from, by a personal token or by the browser's cookie; by a token
 * with the token's role. Throws AppError when they are not in, or may do too little.
 */
export async function personIn(
  context: Context,
  deps: AppDeps,
  review: string,
  atLeast: Role = 'guest',
): Promise<Person> {
  const bearer = bearerOf(context);
  // A token that opens nothing is not passed over for a cookie that comes with it.
  if (bearer === null) return personHere(context, deps, review, atLeast);
  const person = deps.personalTokens.personOf(bearer, review);
  if (person === null) {
    deps.limits.join(callerOf(context, deps));
    throw new AppError(
      'not-signed-in',
      'This token does not open that review, or not any more.',
      'Make a new one under your name in the review.',
    );
  }
  return admitted(context, person, atLeast);
}

/**
 * The person that a browser is; never by a token, for what a token may not do: change who somebody is
 * and what lets them in.
 */
export async function personHere(
  context: Context,
  deps: AppDeps,
  review: string,
  atLeast: Role = 'guest',
): Promise<Person> {
  if (bearerOf(context) !== null) {
    throw new AppError('forbidden', 'A token cannot do that.', 'Do it in the page.');
  }
  const person = await deps.members.personOf(sessionOf(context, deps), review);
  if (person === null) {
    // The same answer for a review that is not there: nobody learns which ones there are.
    throw new AppError(
      'not-signed-in',
      'This browser is not in that review.',
      'Open your invite link again.',
    );
  }
  return admitted(context, person, atLeast);
}

function admitted(context: Context, person: Person, atLeast: Role): Person {
  context.set('personId', person.id);
  if (ROLES.indexOf(person.role) < ROLES.indexOf(atLeast)) {
    throw new AppError(
      'forbidden',
      `That is for a ${atLeast}; you are here as ${person.role}.`,
      'Ask a lead of the review for another invite link.',
    );
  }
  return person;
}

/** Refuses what would tell a reading of a shot whose readings are hidden. Throws AppError. */
export function refuseHidden(record: Y.Doc, shot: string): void {
  if (openCallOn(record, shot) === null) return;
  throw new AppError(
    'forbidden',
    'The readings of this shot are hidden until its call is shown.',
    'Make the call, and ask the lead to show it.',
  );
}

/** The address that people use for this server, without a slash at the end. */
export const publicUrlOf = (context: Context, { reach }: Pick<AppDeps, 'reach'>): string =>
  reach.publicUrl ?? new URL(context.req.url).origin;

/** A Content-Disposition that saves a file under the review's title, in letters that every system takes. */
export function attachment(
  { reviews }: Pick<AppDeps, 'reviews'>,
  review: string,
  what: string,
  end: string,
): string {
  const title = reviews.review(review)?.title ?? review;
  const plain = title
    .normalize('NFKD')
    .replace(/[^\w]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .toLowerCase();
  return `attachment; filename="${plain || 'review'}-${what}.${end}"`;
}

export const joinLink = (publicUrl: string, capability: string): string =>
  `${publicUrl}/join/${capability}`;

export const roleSchema = z.enum(ROLES).openapi('Role');

export const personSchema = z
  .object({
    id: z.string(),
    name: z.string(),
    ink: z.number().int().openapi({ description: 'Index of the ink, 0 to 11.' }),
    role: roleSchema,
  })
  .openapi('Person');

export const reviewParam = z
  .string()
  .regex(/^[\w-]{1,40}$/)
  .openapi({ example: 'demo' });

/** An id that the server has made. */
export const shortId = z.string().regex(/^[\w-]{12}$/);

/** Path parameters of a route about a whole review. */
export const inReview = z.object({ review: reviewParam });

const errorSchema = z
  .object({ error: z.object({ code: z.string(), message: z.string(), hint: z.string() }) })
  .openapi('Error');

/** A JSON answer of a route definition. */
export const answer = <T extends z.ZodType>(description: string, schema: T) => ({
  description,
  content: { 'application/json': { schema } },
});

/** A JSON body of a route definition. */
export const jsonBody = <T extends z.ZodType>(schema: T) => ({
  required: true,
  content: { 'application/json': { schema } },
});

/** The refusals that every route may give; spread into `responses`. */
export const REFUSALS = {
  400: answer('The input does not fit.', errorSchema),
  401: answer('This browser is not in the review.', errorSchema),
  403: answer('The role does not allow it, or another site asked.', errorSchema),
  404: answer('It is not there.', errorSchema),
  429: answer('It was done too often; Retry-After says when it may be again.', errorSchema),
} as const;
