import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { AppError, absent } from '../errors.ts';
import { clipsOf, docsOf, documentsOf } from '../history/documents.ts';
import { PAPERS } from '../sheet/paper.ts';
import type { SheetJob } from '../sheet/sheet-jobs.ts';
import {
  type AppDeps,
  answer,
  attachment,
  inReview,
  jsonBody,
  makeRouter,
  personIn,
  REFUSALS,
  reviewParam,
  shortId,
} from './context.ts';

const atSheet = z.object({ review: reviewParam, sheet: shortId });

const sheetSchema = z
  .object({
    id: z.string(),
    state: z.enum(['waiting', 'working', 'made', 'failed']),
    done: z.number().int().openapi({ description: 'Shots that are drawn.' }),
    of: z.number().int().openapi({ description: 'Shots in all; 0 before it begins.' }),
    bytes: z.number().int().nullable().openapi({ description: 'Of the file once it is made.' }),
  })
  .openapi('Sheet');

const told = ({ id, state, done, of, bytes }: SheetJob): z.infer<typeof sheetSchema> => ({
  ...{ id, state, done, of },
  bytes: bytes?.byteLength ?? null,
});

const addSheet = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/sheets',
  summary: 'Begin to make a review sheet; for everybody of the review',
  request: {
    params: inReview,
    body: jsonBody(
      z.object({
        paper: z.enum(PAPERS).default('a4'),
        shots: z.array(z.string().max(80)).max(2000).nullable().default(null).openapi({
          description: 'Ids of the shots on it; null: all.',
        }),
      }),
    ),
  },
  responses: {
    202: answer('The sheet, which is being made.', sheetSchema),
    409: { description: 'Too many sheets are being made.' },
    ...REFUSALS,
  },
});

const readSheet = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/sheets/{sheet}',
  summary: 'How far a sheet is',
  request: { params: atSheet },
  responses: { 200: answer('The sheet.', sheetSchema), ...REFUSALS },
});

const readPdf = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/sheets/{sheet}/sheet.pdf',
  summary: 'A sheet that is made, for 15 minutes',
  request: {
    params: atSheet,
    query: z.object({ keep: z.enum(['yes', 'no']).default('no') }),
  },
  responses: {
    200: {
      description: 'The sheet.',
      content: { 'application/pdf': { schema: { type: 'string', format: 'binary' } } },
    },
    ...REFUSALS,
  },
});

const removeSheet = createRoute({
  method: 'delete',
  path: '/api/reviews/{review}/sheets/{sheet}',
  summary: 'Give a sheet up, made or not; for whoever asked for it',
  request: { params: atSheet },
  responses: { 204: { description: 'Done.' }, ...REFUSALS },
});

export function sheetRoutes(deps: AppDeps): OpenAPIHono {
  const { sheets, rooms, files, clock } = deps;
  // A sheet is its asker's: others make their own.
  const own = (review: string, id: string, person: string): SheetJob => {
    const job = sheets.get(review, id);
    if (job === null || job.person !== person) {
      throw absent('sheet any more', 'Make it again.');
    }
    return job;
  };
  return makeRouter()
    .openapi(addSheet, async (context) => {
      const { review } = context.req.valid('param');
      const { id } = await personIn(context, deps, review);
      const { paper, shots } = context.req.valid('json');
      const job = sheets.start(review, id, async () => {
        const documents = await documentsOf(rooms, review);
        const clips = clipsOf(docsOf(documents), review, files);
        return { documents, clips, shots, paper, at: clock.now() };
      });
      return context.json(told(job), 202);
    })
    .openapi(readSheet, async (context) => {
      const { review, sheet } = context.req.valid('param');
      const { id } = await personIn(context, deps, review);
      return context.json(told(own(review, sheet, id)), 200);
    })
    .openapi(readPdf, async (context) => {
      const { review, sheet } = context.req.valid('param');
      const { id } = await personIn(context, deps, review);
      const { bytes } = own(review, sheet, id);
      if (bytes === null) {
        throw new AppError('not-found', 'This sheet is not made yet.', 'Ask how far it is.');
      }
      const name = attachment(deps, review, 'review-sheet', 'pdf');
      const keep = context.req.valid('query').keep === 'yes';
      return context.body(bytes as Uint8Array<ArrayBuffer>, 200, {
        'Content-Type': 'application/pdf',
        'Content-Disposition': keep ? name : name.replace('attachment', 'inline'),
        // No sandbox: a browser shows a PDF in a part of its own, which that would shut out.
        'Content-Security-Policy':
          "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'",
      });
    })
    .openapi(removeSheet, async (context) => {
      const { review, sheet } = context.req.valid('param');
      const { id } = await personIn(context, deps, review);
      own(review, sheet, id);
      sheets.cancel(review, sheet);
      return context.body(null, 204);
    });
}
