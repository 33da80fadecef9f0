import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { setReviewTitle } from '../../core/document/scenes.ts';
import type { ROLES } from '../../core/protocol/roles.ts';
import { AppError } from '../errors.ts';
import type { NewInvite } from '../storage/review-store.ts';
import { SERVER_ORIGIN } from '../sync/room.ts';
import {
  type AppDeps,
  answer,
  joinLink,
  jsonBody,
  makeRouter,
  personIn,
  publicUrlOf,
  REFUSALS,
  reviewParam,
  roleSchema,
  sessionOf,
} from './context.ts';
import { lineOfText } from './me.ts';

const inReview = z.object({ review: reviewParam });
const inviteFields = { id: z.string(), role: roleSchema, createdAt: z.string() };
const inviteSchema = z.object(inviteFields).openapi('Invite');
const newInviteSchema = z
  .object({
    ...inviteFields,
    link: z.string().openapi({ description: 'Address to send; it cannot be read again.' }),
  })
  .openapi('NewInvite');

const addReview = createRoute({
  method: 'post',
  path: '/api/reviews',
  summary: 'Make an empty review; for a lead of any review, who leads the new one too',
  request: { body: jsonBody(z.object({ title: lineOfText(120) })) },
  responses: {
    201: answer(
      'The review with one invite link per role.',
      z.object({ id: z.string(), title: z.string(), links: z.record(roleSchema, z.string()) }),
    ),
    ...REFUSALS,
  },
});

const readInvites = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/invites',
  summary: 'The invite links that work, without their secrets; for a lead',
  request: { params: inReview },
  responses: {
    200: answer('The invites.', z.object({ invites: z.array(inviteSchema) })),
    ...REFUSALS,
  },
});

const addInvite = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/invites',
  summary: 'Make an invite link; for a lead',
  request: { params: inReview, body: jsonBody(z.object({ role: roleSchema })) },
  responses: { 201: answer('The invite with its link.', newInviteSchema), ...REFUSALS },
});

const removeInvite = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/invites/{invite}',
  summary: 'Make an invite link worthless; people who joined with it stay; for a lead',
  request: { params: z.object({ review: reviewParam, invite: z.string() }) },
  responses: { 204: { description: 'Done.' }, ...REFUSALS },
});

const removePerson = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/people/{person}',
  summary: 'Take a person out of the review; what they wrote stays; for a lead',
  request: { params: z.object({ review: reviewParam, person: z.string() }) },
  responses: { 204: { description: 'Done; their windows are closed.' }, ...REFUSALS },
});

export function reviewRoutes(deps: AppDeps): OpenAPIHono {
  const { reviews, members, rooms } = deps;
  return makeRouter()
    .openapi(addReview, async (context) => {
      const session = sessionOf(context, deps);
      if (session === null || !reviews.leadsSomewhere(session)) {
        throw new AppError(
          session === null ? 'not-signed-in' : 'forbidden',
          'Only a lead can make a review.',
          'Open a lead link first.',
        );
      }
      const { title } = context.req.valid('json');
      const { review, invites } = reviews.addReview(title);
      await rooms.with({ review: review.id, document: 'scenes' }, (room) =>
        room.write((doc) => setReviewTitle(doc, title, SERVER_ORIGIN)),
      );
      await members.joinAsLead(session, review.id);
      return context.json({ ...review, links: linksOf(publicUrlOf(context, deps), invites) }, 201);
    })
    .openapi(readInvites, async (context) => {
      const { review } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      return context.json({ invites: reviews.invites(review) }, 200);
    })
    .openapi(addInvite, async (context) => {
      const { review } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      const { capability, ...invite } = reviews.addInvite(review, context.req.valid('json').role);
      return context.json(
        { ...invite, link: joinLink(publicUrlOf(context, deps), capability) },
        201,
      );
    })
    .openapi(removeInvite, async (context) => {
      const { review, invite } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      if (!reviews.removeInvite(review, invite)) throw absent('invite');
      return context.body(null, 204);
    })
    .openapi(removePerson, async (context) => {
      const { review, person } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      if (!(await members.remove(review, person))) throw absent('person');
      return context.body(null, 204);
    });
}

/** One link per role. */
export function linksOf(
  publicUrl: string,
  invites: readonly NewInvite[],
): Record<(typeof ROLES)[number], string> {
  const link = (role: (typeof ROLES)[number]): string => {
    const invite = invites.find((candidate) => candidate.role === role);
    if (invite === undefined) throw new Error(`no invite was made for the role ${role}`);
    return joinLink(publicUrl, invite.capability);
  };
  return {
    guest: link('guest'),
    reviewer: link('reviewer'),
    animator: link('animator'),
    lead: link('lead'),
  };
}

const absent = (what: string): AppError =>
  new AppError('not-found', `There is no such ${what} in this review.`, 'Read the list again.');
