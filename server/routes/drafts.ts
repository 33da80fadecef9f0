import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { BalanceReport } from '../../core/balance/types.ts';
import { readDrafts } from '../../core/document/scenes.ts';
import type { Scene } from '../../core/scene/types.ts';
import { AppError, absent } from '../errors.ts';
import { drawPicture, VIEWS, weighDraft } from '../mechanics.ts';
import {
  type AppDeps,
  answer,
  makeRouter,
  personIn,
  REFUSALS,
  refuseHidden,
  reviewParam,
} from './context.ts';

const params = z.object({ review: reviewParam, draft: z.string().min(1).max(80) });
const frameQuery = z.coerce.number().int().min(0).optional().openapi({
  description: 'Frame of a recorded clip, counted from 0; the first when left out.',
});

const reportSchema = z
  .object({
    groups: z.array(z.looseObject({ id: z.string(), verdict: z.string(), sentence: z.string() })),
    figures: z.array(
      z.looseObject({ figure: z.string(), verdict: z.string(), sentence: z.string() }),
    ),
    contacts: z.array(z.looseObject({ id: z.string() })),
    loads: z.record(z.string(), z.looseObject({})),
  })
  .openapi('BalanceReport', { description: 'SI units; Y up; plan coordinates are (x, z).' });

const readReport = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/drafts/{draft}/report',
  summary: "The server's own balance report of a draft",
  request: { params, query: z.object({ frame: frameQuery }) },
  responses: { 200: answer('The report.', reportSchema), ...REFUSALS },
});

const readPicture = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/drafts/{draft}/picture.svg',
  summary: 'A drawing of a draft',
  request: { params, query: z.object({ view: z.enum(VIEWS).default('side'), frame: frameQuery }) },
  responses: {
    200: {
      description: 'The drawing.',
      content: { 'image/svg+xml': { schema: z.string() } },
    },
    ...REFUSALS,
  },
});

interface Weighed {
  readonly scene: Scene;
  readonly report: BalanceReport;
}

export function draftRoutes(deps: AppDeps): OpenAPIHono {
  const { rooms, clips, assess } = deps;

  const weigh = (review: string, draft: string, frame: number | undefined): Promise<Weighed> =>
    rooms.with({ review, document: 'scenes' }, async ({ doc }) => {
      const found = readDrafts(doc).find(({ id }) => id === draft);
      if (found === undefined) {
        throw absent('draft');
      }
      await rooms.with({ review, document: 'record' }, (record) =>
        refuseHidden(record.doc, found.shot),
      );
      try {
        const place = { doc, review, draft, clip: found.clip };
        return await weighDraft(place, frame ?? 0, clips, assess);
      } catch (cause) {
        // Core throws RangeError with the numbers in it for scenes that cannot be.
        if (!(cause instanceof RangeError)) throw cause;
        throw new AppError('unreadable', cause.message, 'Mend the draft on the bench.', { cause });
      }
    });

  return makeRouter()
    .openapi(readReport, async (context) => {
      const { review, draft } = context.req.valid('param');
      await personIn(context, deps, review);
      const { report } = await weigh(review, draft, context.req.valid('query').frame);
      return context.json(report as unknown as z.input<typeof reportSchema>, 200);
    })
    .openapi(readPicture, async (context) => {
      const { review, draft } = context.req.valid('param');
      await personIn(context, deps, review);
      const { view, frame } = context.req.valid('query');
      const { scene, report } = await weigh(review, draft, frame);
      return context.body(drawPicture(scene, report, view), 200, {
        'Content-Type': 'image/svg+xml; charset=utf-8',
        // Names in a drawing come from people; as a document of its own it may run nothing.
        'Content-Security-Policy': "default-src 'none'; style-src 'unsafe-inline'; sandbox",
      });
    });
}
