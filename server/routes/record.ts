import { createRoute, type OpenAPIHono } from '@hono/zod-openapi';
import type { Context } from 'hono';
import {
  annotationsOf,
  gatherReview,
  notesCsv,
  type ReviewDocs,
  readScene,
  shotsCsv,
} from '../../core/document/index.ts';
import { docsOf, documentsOf } from '../history/documents.ts';
import { recordJson } from '../record/record-json.ts';
import {
  type AppDeps,
  attachment,
  inReview,
  makeRouter,
  personIn,
  publicUrlOf,
  REFUSALS,
} from './context.ts';

const file = (path: string, summary: string, type: string) =>
  createRoute({
    method: 'get',
    path,
    summary,
    request: { params: inReview },
    responses: {
      200: { description: 'The file.', content: { [type]: { schema: { type: 'string' } } } },
      ...REFUSALS,
    },
  });

const CSV = 'text/csv; charset=utf-8';
const JSON_TYPE = 'application/json; charset=utf-8';
const JSON_LD = 'application/ld+json; profile="http://www.w3.org/ns/anno.jsonld"';

const readShotsCsv = file(
  '/api/reviews/{review}/record/shots.csv',
  'The shots with their readings as CSV; a shot list that can be brought in again',
  'text/csv',
);
const readNotesCsv = file('/api/reviews/{review}/record/notes.csv', 'The notes as CSV', 'text/csv');
const readJson = file(
  '/api/reviews/{review}/record/review.json',
  'Everything that the review says, as JSON: shots, drafts with scenes, notes, decisions, people',
  'application/json',
);
const readAnnotations = file(
  '/api/reviews/{review}/record/notes.jsonld',
  'The notes as W3C Web Annotations (JSON-LD)',
  'application/ld+json',
);

// Spreadsheets take a CSV without this mark for another encoding.
const MARK = '\ufeff';

/** What a review says, to be taken out. */
export function recordRoutes(deps: AppDeps): OpenAPIHono {
  const docs = async (context: Context, review: string): Promise<ReviewDocs> => {
    await personIn(context, deps, review);
    return docsOf(await documentsOf(deps.rooms, review));
  };
  const send = (context: Context, review: string, [what, end]: [string, string], type: string) => ({
    text: (body: string): Response =>
      context.body(body, 200, {
        'Content-Type': type,
        'Content-Disposition': attachment(deps, review, what, end),
      }),
  });
  return makeRouter()
    .openapi(readShotsCsv, async (context) => {
      const { review } = context.req.valid('param');
      const record = gatherReview(await docs(context, review));
      return send(context, review, ['shots', 'csv'], CSV).text(MARK + shotsCsv(record));
    })
    .openapi(readNotesCsv, async (context) => {
      const { review } = context.req.valid('param');
      const found = await docs(context, review);
      const csv = notesCsv(gatherReview(found), sceneReader(found));
      return send(context, review, ['notes', 'csv'], CSV).text(MARK + csv);
    })
    .openapi(readJson, async (context) => {
      const { review } = context.req.valid('param');
      const found = await docs(context, review);
      const json = recordJson(found, { review, at: new Date(deps.clock.now()) });
      return send(context, review, ['record', 'json'], JSON_TYPE).text(json);
    })
    .openapi(readAnnotations, async (context) => {
      const { review } = context.req.valid('param');
      const found = await docs(context, review);
      const address = `${publicUrlOf(context, deps)}/r/${review}`;
      const notes = annotationsOf(gatherReview(found), { address, sceneOf: sceneReader(found) });
      const text = JSON.stringify(notes, null, 1);
      return send(context, review, ['notes', 'jsonld'], JSON_LD).text(text);
    });
}

/** Reads each scene once, however many notes are about it. */
function sceneReader({ scenes }: ReviewDocs): (draft: string) => ReturnType<typeof readScene> {
  const known = new Map<string, ReturnType<typeof readScene>>();
  return (draft) => {
    const scene = known.get(draft) ?? readScene(scenes, draft);
    known.set(draft, scene);
    return scene;
  };
}
