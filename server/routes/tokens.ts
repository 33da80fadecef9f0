import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { ROLES } from '../../core/protocol/roles.ts';
import { endAfter } from '../clock.ts';
import { AppError } from '../errors.ts';
import { MAX_TOKENS } from '../storage/personal-token-store.ts';
import {
  type AppDeps,
  answer,
  inReview,
  jsonBody,
  makeRouter,
  personHere,
  REFUSALS,
  reviewParam,
  roleSchema,
} from './context.ts';
import { lineOfText } from './me.ts';

const tokenFields = {
  id: z.string(),
  role: roleSchema,
  label: z.string(),
  createdAt: z.string(),
  expiresAt: z.string().nullable().openapi({ description: 'Null: it does not expire.' }),
  usedAt: z.string().nullable().openapi({ description: 'The day it was used last.' }),
};
const tokenSchema = z.object(tokenFields).openapi('PersonalToken');

const readTokens = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/tokens',
  summary: 'Your personal tokens in this review, without their secrets; not with a token',
  request: { params: inReview },
  responses: {
    200: answer('The tokens.', z.object({ tokens: z.array(tokenSchema) })),
    ...REFUSALS,
  },
});

const addToken = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/tokens',
  summary: 'Make a personal token, for your role or a lesser one; not with a token',
  request: {
    params: inReview,
    body: jsonBody(
      z.object({
        label: lineOfText(60),
        role: roleSchema,
        days: z.number().int().min(1).max(365).nullable().default(90).openapi({
          description: 'How long it works; null: until it is taken back.',
        }),
      }),
    ),
  },
  responses: {
    201: answer(
      'The token with its secret, which cannot be read again.',
      z.object({
        ...tokenFields,
        secret: z.string().openapi({
          description: 'To be sent as "Authorization: Bearer SECRET" to routes of this review.',
        }),
      }),
    ),
    409: { description: 'You have as many tokens as you may.' },
    ...REFUSALS,
  },
});

const removeToken = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/tokens/{token}',
  summary: 'Make one of your tokens worthless; not with a token',
  request: { params: z.object({ review: reviewParam, token: z.string().max(40) }) },
  responses: { 204: { description: 'Done.' }, ...REFUSALS },
});

export function tokenRoutes(deps: AppDeps): OpenAPIHono {
  const { personalTokens, clock } = deps;
  return makeRouter()
    .openapi(readTokens, async (context) => {
      const { id } = await personHere(context, deps, context.req.valid('param').review);
      return context.json({ tokens: personalTokens.list(id) }, 200);
    })
    .openapi(addToken, async (context) => {
      const person = await personHere(context, deps, context.req.valid('param').review);
      const { label, role, days } = context.req.valid('json');
      if (ROLES.indexOf(role) > ROLES.indexOf(person.role)) {
        throw new AppError(
          'forbidden',
          `You are here as ${person.role}: a token cannot be for a ${role}.`,
          'Choose your own role or a lesser one.',
        );
      }
      if (personalTokens.list(person.id).length >= MAX_TOKENS) {
        throw new AppError('full', `You have ${MAX_TOKENS} tokens.`, 'Take one back first.');
      }
      const expiresAt = endAfter(clock, days);
      return context.json(personalTokens.add(person.id, { label, role, expiresAt }), 201);
    })
    .openapi(removeToken, async (context) => {
      const { review, token } = context.req.valid('param');
      const { id } = await personHere(context, deps, review);
      if (!personalTokens.remove(id, token)) {
        throw new AppError('not-found', 'You have no such token.', 'Read the list again.');
      }
      return context.body(null, 204);
    });
}
