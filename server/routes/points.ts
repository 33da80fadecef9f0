import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { SHOT_STATES } from '../../core/document/index.ts';
import { makeId } from '../access/secrets.ts';
import { absent } from '../errors.ts';
import { bringBackDrafts, fillReview, shotsOf } from '../history/bring-back.ts';
import type { Documents } from '../storage/point-store.ts';
import {
  type AppDeps,
  answer,
  inReview,
  jsonBody,
  makeRouter,
  personHere,
  personIn,
  publicUrlOf,
  REFUSALS,
  reviewParam,
  roleSchema,
  sessionOf,
  shortId,
} from './context.ts';
import { lineOfText } from './me.ts';
import { linksOf } from './reviews.ts';

const atPoint = z.object({ review: reviewParam, point: shortId });
const draftId = z.string().min(1).max(80);

const pointSchema = z
  .object({
    id: z.string(),
    at: z.string(),
    why: z.enum(['hour', 'signed-off', 'asked']),
    shot: z.string().nullable().openapi({ description: 'The shot that was signed off.' }),
    bytes: z.number().int(),
  })
  .openapi('Point');

const shotSchema = z.object({
  id: z.string(),
  code: z.string(),
  title: z.string(),
  state: z.enum(SHOT_STATES),
  drafts: z
    .array(z.object({ id: z.string(), number: z.number().int(), title: z.string() }))
    .readonly(),
});

const readPoints = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/points',
  summary: 'The points that a review can be brought back to, the newest first; for a lead',
  request: { params: inReview },
  responses: {
    200: answer('The points.', z.object({ points: z.array(pointSchema) })),
    ...REFUSALS,
  },
});

const addPoint = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/points',
  summary: 'Keep the review as it is now as a point; for a lead',
  request: { params: inReview },
  responses: { 201: answer('The point.', pointSchema), ...REFUSALS },
});

const readPoint = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/points/{point}',
  summary: 'The shots and drafts of a point; for a lead',
  request: { params: atPoint },
  responses: {
    200: answer('What it holds.', z.object({ shots: z.array(shotSchema).readonly() })),
    ...REFUSALS,
  },
});

const draftsBack = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/points/{point}/drafts',
  summary: 'Add drafts of a point as new drafts; nothing is overwritten; for a lead',
  request: {
    params: atPoint,
    body: jsonBody(z.object({ drafts: z.array(draftId).min(1).max(50) })),
  },
  responses: {
    201: answer(
      'The new drafts.',
      z.object({ drafts: z.array(z.object({ from: z.string(), id: z.string() })) }),
    ),
    ...REFUSALS,
  },
});

const reviewBack = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/points/{point}/review',
  summary: 'Make a new review of a point; the old one stays as it is; for a lead',
  request: { params: atPoint, body: jsonBody(z.object({ title: lineOfText(120) })) },
  responses: {
    201: answer(
      'The review with one invite link per role.',
      z.object({ id: z.string(), title: z.string(), links: z.record(roleSchema, z.string()) }),
    ),
    ...REFUSALS,
  },
});

export function pointRoutes(deps: AppDeps): OpenAPIHono {
  const { points, pointKeeper, reviews, rooms, members, files } = deps;
  const opened = async (review: string, point: string): Promise<Documents> => {
    const documents = await points.open(review, point);
    if (documents === null) throw absent('point');
    return documents;
  };
  return makeRouter()
    .openapi(readPoints, async (context) => {
      const { review } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      return context.json({ points: points.list(review) }, 200);
    })
    .openapi(addPoint, async (context) => {
      const { review } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      return context.json(await pointKeeper.take(review), 201);
    })
    .openapi(readPoint, async (context) => {
      const { review, point } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      return context.json({ shots: shotsOf(await opened(review, point)) }, 200);
    })
    .openapi(draftsBack, async (context) => {
      const { review, point } = context.req.valid('param');
      await personIn(context, deps, review, 'lead');
      const documents = await opened(review, point);
      const drafts = [...new Set(context.req.valid('json').drafts)];
      const made = await bringBackDrafts({ review, documents, drafts }, rooms);
      if (made === null) throw absent('draft');
      return context.json({ drafts: made }, 201);
    })
    .openapi(reviewBack, async (context) => {
      const { review, point } = context.req.valid('param');
      // It makes whoever asks the lead of a review, which a browser is and a token is not.
      await personHere(context, deps, review, 'lead');
      const documents = await opened(review, point);
      const { title } = context.req.valid('json');
      const id = makeId();
      // The row comes last, as with the demo: nobody finds the review before it is filled.
      await fillReview({ review: id, title, documents }, rooms);
      const { invites } = reviews.addReview(title, id);
      files.share(review, id);
      await members.joinAsLead(sessionOf(context, deps), id);
      const links = linksOf(publicUrlOf(context, deps), invites);
      return context.json({ id, title, links }, 201);
    });
}
