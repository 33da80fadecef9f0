import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { HEADINGS } from '../../core/balance/index.ts';
import { CALLED_VERDICTS, readAnswer } from '../../core/document/index.ts';
import { AppError } from '../errors.ts';
import {
  type AppDeps,
  answer,
  inReview,
  jsonBody,
  makeRouter,
  personIn,
  REFUSALS,
  reviewParam,
  shortId,
} from './context.ts';

const ofCall = z.object({ review: reviewParam, call: shortId });
const rowId = z.string().min(1).max(80);
const metres = z.number().min(-1000).max(1000);

const termsSchema = z.object({
  shot: rowId,
  draft: rowId,
  frame: z.number().int().min(0).nullable().default(null).openapi({
    description: 'Frame of the clip, counted from 0; null where the draft is one pose.',
  }),
  guests: z.boolean().default(true).openapi({ description: 'Whether guests may call too.' }),
});

const answerSchema = z
  .object({
    centre: z.tuple([metres, metres, metres]).openapi({ description: 'Metres; Y up.' }),
    verdict: z.enum(CALLED_VERDICTS),
    heading: z.enum(HEADINGS).nullable().default(null).openapi({
      description: "Which way it falls or would fall first, by the figure's own directions.",
    }),
  })
  .openapi('CallAnswer');

const stateSchema = z
  .object({ id: z.string(), state: z.enum(['open', 'shown']), count: z.number().int() })
  .openapi('Call', { description: 'The whole of a shown call is in the record document.' });

const openCall = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/calls',
  summary: 'Hide the readings of a shot until everybody has made the call; for a lead',
  request: { params: inReview, body: jsonBody(termsSchema) },
  responses: { 201: answer('The open call.', stateSchema), ...REFUSALS },
});

const giveAnswer = createRoute({
  method: 'put',
  path: '/api/reviews/{review}/calls/{call}/mine',
  summary: 'Make the call, or make it anew; nobody sees it before it is shown',
  request: { params: ofCall, body: jsonBody(answerSchema) },
  responses: {
    200: answer('How many have called.', z.object({ count: z.number().int() })),
    ...REFUSALS,
  },
});

const readMine = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/calls/{call}/mine',
  summary: 'What this person has called',
  request: { params: ofCall },
  responses: {
    200: answer('It, or null.', z.object({ answer: answerSchema.nullable() })),
    ...REFUSALS,
  },
});

const showCall = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/calls/{call}/show',
  summary: 'Show all calls over the truth, which the server weighs now; for a lead',
  request: { params: ofCall },
  responses: { 200: answer('The shown call.', stateSchema), ...REFUSALS },
});

const takeBack = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/calls/{call}',
  summary: 'End an open call and forget what was called; for a lead',
  request: { params: ofCall },
  responses: { 204: { description: 'Done; the readings are back.' }, ...REFUSALS },
});

export function callRoutes(deps: AppDeps): OpenAPIHono {
  const { caller } = deps;
  return makeRouter()
    .openapi(openCall, async (context) => {
      const { review } = context.req.valid('param');
      const { id } = await personIn(context, deps, review, 'lead');
      const call = await caller.open(review, id, context.req.valid('json'));
      return context.json({ id: call.id, state: call.state, count: call.count }, 201);
    })
    .openapi(giveAnswer, async (context) => {
      const { review, call } = context.req.valid('param');
      const { id, role } = await personIn(context, deps, review);
      const given = readAnswer(context.req.valid('json'));
      if (given === null) throw new AppError('bad-input', 'That is no call.', '');
      const who = { person: id, isGuest: role === 'guest' };
      return context.json({ count: await caller.answer(review, call, who, given) }, 200);
    })
    .openapi(readMine, async (context) => {
      const { review, call } = context.req.valid('param');
      const { id } = await personIn(context, deps, review);
      const mine = await caller.answerOf(review, call, id);
      const centre = mine === null ? null : ([...mine.centre] as [number, number, number]);
      return context.json(
        { answer: mine === null || centre === null ? null : { ...mine, centre } },
        200,
      );
    })
    .openapi(showCall, async (context) => {
      const { review, call } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      const { id, state, count } = await caller.show(review, call);
      return context.json({ id, state, count }, 200);
    })
    .openapi(takeBack, async (context) => {
      const { review, call } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      await caller.takeBack(review, call);
      return context.body(null, 204);
    });
}
