import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { AppError, absent } from '../errors.ts';
import {
  type AppDeps,
  answer,
  inReview,
  jsonBody,
  makeRouter,
  personHere,
  REFUSALS,
  reviewParam,
} from './context.ts';

/** How many webhooks a review may have. */
export const MAX_WEBHOOKS = 10;

const atWebhook = z.object({ review: reviewParam, webhook: z.string().max(40) });

const webhookFields = { id: z.string(), url: z.string(), createdAt: z.string() };
const webhookSchema = z.object(webhookFields).openapi('Webhook');

const deliverySchema = z
  .object({
    id: z.string(),
    madeAt: z.string(),
    tries: z.number().int(),
    nextAt: z.string().nullable().openapi({ description: 'Null: it arrived or was given up.' }),
    triedAt: z.string().nullable(),
    status: z.number().int().nullable(),
    fault: z.string().nullable().openapi({ description: 'Null: the last try went well.' }),
  })
  .openapi('Delivery');

const readWebhooks = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/webhooks',
  summary: 'The webhooks, without their secrets; for a lead, not with a token',
  request: { params: inReview },
  responses: {
    200: answer('The webhooks.', z.object({ webhooks: z.array(webhookSchema) })),
    ...REFUSALS,
  },
});

const addWebhook = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/webhooks',
  summary: 'Have an address told when a shot changes state; for a lead, not with a token',
  description:
    'Each message is a POST of JSON: event "shot.state", id, at, review, shot, draft, from, to, by ' +
    'and reading. Its header Counterlean-Signature is "t=SECONDS,v1=HEX": HMAC-SHA-256 with the ' +
    'secret over "SECONDS.BODY". Any answer of 200 to 299 within 10 seconds takes it; else it is ' +
    'sent again after 10 s, 1 min, 10 min, 1 h and 6 h. Addresses that are not on the public ' +
    'internet are refused unless COUNTERLEAN_WEBHOOKS_INNER=1.',
  request: { params: inReview, body: jsonBody(z.object({ url: z.url().max(500) })) },
  responses: {
    201: answer(
      'The webhook with its secret, which cannot be read again.',
      z.object({ ...webhookFields, secret: z.string() }),
    ),
    409: { description: 'The review has as many webhooks as it may.' },
    ...REFUSALS,
  },
});

const removeWebhook = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/webhooks/{webhook}',
  summary: 'Tell an address nothing more; for a lead, not with a token',
  request: { params: atWebhook },
  responses: { 204: { description: 'Done.' }, ...REFUSALS },
});

const readDeliveries = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/webhooks/{webhook}/deliveries',
  summary: 'What a webhook was told last, the newest first; for a lead, not with a token',
  request: { params: atWebhook },
  responses: {
    200: answer('The deliveries.', z.object({ deliveries: z.array(deliverySchema) })),
    ...REFUSALS,
  },
});

export function webhookRoutes(deps: AppDeps): OpenAPIHono {
  const { webhookStore, webhooksInner } = deps;
  return makeRouter()
    .openapi(readWebhooks, async (context) => {
      const { review } = context.req.valid('param');
      await personHere(context, deps, review, 'lead');
      return context.json({ webhooks: webhookStore.list(review) }, 200);
    })
    .openapi(addWebhook, async (context) => {
      const { review } = context.req.valid('param');
      const { id } = await personHere(context, deps, review, 'lead');
      const { url } = context.req.valid('json');
      const { protocol, username, password } = new URL(url);
      // What is told travels over the internet: only where it stays in the house may it go in the open.
      const isTaken = protocol === 'https:' || (webhooksInner && protocol === 'http:');
      if (!isTaken || username !== '' || password !== '') {
        throw new AppError(
          'bad-input',
          'A webhook needs an address that begins with https://, without a name and password.',
          '',
        );
      }
      if (webhookStore.list(review).length >= MAX_WEBHOOKS) {
        const message = `This review has ${MAX_WEBHOOKS} webhooks.`;
        throw new AppError('full', message, 'Take one away first.');
      }
      return context.json(webhookStore.add(review, url, id), 201);
    })
    .openapi(removeWebhook, async (context) => {
      const { review, webhook } = context.req.valid('param');
      await personHere(context, deps, review, 'lead');
      if (!webhookStore.remove(review, webhook)) {
        throw absent('webhook');
      }
      return context.body(null, 204);
    })
    .openapi(readDeliveries, async (context) => {
      const { review, webhook } = context.req.valid('param');
      await personHere(context, deps, review, 'lead');
      return context.json({ deliveries: webhookStore.deliveries(review, webhook) }, 200);
    });
}
