import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { setReviewTitle } from '../../core/document/scenes.ts';
import type { ROLES } from '../../core/protocol/roles.ts';
import { hashPassphrase, MAX_PASSPHRASE } from '../access/passphrase.ts';
import { endAfter } from '../clock.ts';
import { AppError, absent } from '../errors.ts';
import type { NewInvite } from '../storage/invite-store.ts';
import { SERVER_ORIGIN } from '../sync/room.ts';
import {
  type AppDeps,
  answer,
  inReview,
  joinLink,
  jsonBody,
  makeRouter,
  personHere,
  publicUrlOf,
  REFUSALS,
  reviewParam,
  roleSchema,
  sessionOf,
} from './context.ts';
import { lineOfText } from './me.ts';

const inviteFields = {
  id: z.string(),
  role: roleSchema,
  createdAt: z.string(),
  expiresAt: z.string().nullable().openapi({ description: 'Null: it does not expire.' }),
  maxUses: z.number().int().nullable().openapi({ description: 'Null: any number of people.' }),
  uses: z.number().int().openapi({ description: 'How many people have come by it.' }),
  hasPassphrase: z.boolean(),
};

const DEFAULT_DAYS = 30;

const termsSchema = z.object({
  role: roleSchema,
  days: z.number().int().min(1).max(365).nullable().default(DEFAULT_DAYS).openapi({
    description: 'How long it works; null: until it is taken back.',
  }),
  maxUses: z.number().int().min(1).max(500).nullable().default(null).openapi({
    description: 'How many people may come by it; null: any number.',
  }),
  passphrase: z.string().min(8).max(MAX_PASSPHRASE).nullable().default(null).openapi({
    description: 'Asked for besides the link. Tell it another way than the link.',
  }),
});

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
  request: { params: inReview, body: jsonBody(termsSchema) },
  responses: { 201: answer('The invite with its link.', newInviteSchema), ...REFUSALS },
});

const removeInvite = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/invites/{invite}',
  summary: 'Make an invite link worthless; for a lead',
  request: {
    params: z.object({ review: reviewParam, invite: z.string() }),
    query: z.object({
      people: z.enum(['stay', 'out']).default('stay').openapi({
        description: 'out: everybody who came by it, but you, is sent out and their windows close.',
      }),
    }),
  },
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
  const { reviews, members, invites, rooms, clock } = deps;
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
      const made = reviews.addReview(title);
      const { review } = made;
      await rooms.with({ review: review.id, document: 'scenes' }, (room) =>
        room.write((doc) => setReviewTitle(doc, title, SERVER_ORIGIN)),
      );
      await members.joinAsLead(session, review.id);
      return context.json(
        { ...review, links: linksOf(publicUrlOf(context, deps), made.invites) },
        201,
      );
    })
    .openapi(readInvites, async (context) => {
      const { review } = context.req.valid('param');
      await personHere(context, deps, review, 'lead');
      return context.json({ invites: invites.list(review) }, 200);
    })
    .openapi(addInvite, async (context) => {
      const { review } = context.req.valid('param');
      await personHere(context, deps, review, 'lead');
      const { role, days, maxUses, passphrase } = context.req.valid('json');
      const { capability, ...invite } = invites.add(review, role, {
        expiresAt: endAfter(clock, days),
        maxUses,
        passphrase: passphrase === null ? null : await hashPassphrase(passphrase),
      });
      return context.json(
        { ...invite, link: joinLink(publicUrlOf(context, deps), capability) },
        201,
      );
    })
    .openapi(removeInvite, async (context) => {
      const { review, invite } = context.req.valid('param');
      const { id } = await personHere(context, deps, review, 'lead');
      const sendOut = context.req.valid('query').people === 'out' ? { but: id } : null;
      if (!(await members.takeBack(review, invite, sendOut))) throw absent('invite');
      return context.body(null, 204);
    })
    .openapi(removePerson, async (context) => {
      const { review, person } = context.req.valid('param');
      await personHere(context, deps, review, 'lead');
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
