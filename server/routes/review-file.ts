import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { absent } from '../errors.ts';
import { bringReview } from '../record/bring-review.ts';
import { reviewFileOf } from '../record/review-file.ts';
import { withReviewFile } from '../record/with-review-file.ts';
import {
  type AppDeps,
  answer,
  attachment,
  bearerOf,
  inReview,
  makeRouter,
  personIn,
  publicUrlOf,
  REFUSALS,
  roleSchema,
  sessionOf,
} from './context.ts';
import { linksOf } from './reviews.ts';

const zip = { 'application/zip': { schema: { type: 'string', format: 'binary' } as const } };

const readFile = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/record/review.zip',
  summary: 'The whole review as one file: documents, pictures, clips, record',
  request: { params: inReview },
  responses: { 200: { description: 'The file.', content: zip }, ...REFUSALS },
});

const addFile = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/beside',
  summary: 'Make a new review of a review file; nothing is overwritten; for a lead of any review',
  request: { params: inReview, body: { required: true, content: zip } },
  responses: {
    201: answer(
      'The new review with one invite link per role.',
      z.object({ id: z.string(), title: z.string(), links: z.record(roleSchema, z.string()) }),
    ),
    413: { description: 'It is too large.' },
    422: { description: 'It is no review file, damaged, or made by a newer version.' },
    ...REFUSALS,
  },
});

export function reviewFileRoutes(deps: AppDeps): OpenAPIHono {
  const { rooms, files, reviews, members } = deps;
  return makeRouter()
    .openapi(readFile, async (context) => {
      const { review } = context.req.valid('param');
      await personIn(context, deps, review);
      const stream = await reviewFileOf(review, deps);
      if (stream === null) throw absent('review');
      return context.body(stream, 200, {
        'Content-Type': 'application/zip',
        'Content-Disposition': attachment(deps, review, 'review', 'zip'),
      });
    })
    .openapi(addFile, async (context) => {
      const { review } = context.req.valid('param');
      const person = await personIn(context, deps, review, 'lead');
      deps.limits.upload(person.id);
      const made = await withReviewFile(context.req.raw.body ?? new Blob().stream(), (unpacked) =>
        bringReview(unpacked, person.id, { rooms, reviews, files }),
      );
      // A program that brings it in with a token has the links; a browser is let in itself.
      if (bearerOf(context) === null) {
        await members.joinAsLead(sessionOf(context, deps), made.review.id);
      }
      const links = linksOf(publicUrlOf(context, deps), made.invites);
      return context.json({ ...made.review, links }, 201);
    });
}
