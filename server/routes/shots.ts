import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { bodyLimit } from 'hono/body-limit';
import {
  applyState,
  assignedFor,
  assignedName,
  bringList,
  hiddenShots,
  isDay,
  openCallOn,
  planList,
  putShot,
  readDrafts,
  readHistory,
  readPeople,
  readShots,
  SHOT_STATES,
} from '../../core/document/index.ts';
import { readShotList, SHOT_COLUMNS, type ShotList } from '../../core/formats/index.ts';
import { makeId } from '../access/secrets.ts';
import { AppError, absent } from '../errors.ts';
import { docsOf, documentsOf } from '../history/documents.ts';
import { readCsv } from '../record/read-csv.ts';
import { Writer } from '../sync/writer.ts';
import {
  type AppDeps,
  answer,
  inReview,
  jsonBody,
  makeRouter,
  personIn,
  REFUSALS,
  reviewParam,
} from './context.ts';

const shotId = z.string().min(1).max(80);

/** Largest shot list: 2,000 rows of long titles. */
const MAX_LIST_BYTES = 2 * 1024 * 1024;

const readingSchema = z
  .object({
    verdict: z.string(),
    margin: z.number().nullable().openapi({ description: 'Metres, positive inside.' }),
    ratio: z.number().nullable(),
    at: z.string(),
  })
  .nullable();

const shotSchema = z
  .object({
    id: z.string(),
    sequence: z.string(),
    code: z.string(),
    title: z.string(),
    state: z.enum(SHOT_STATES),
    assigned: z.string().nullable().openapi({ description: 'A name.' }),
    due: z.string().nullable().openapi({ description: 'YYYY-MM-DD.' }),
    frames: z.array(z.number()).readonly(),
    rate: z.number(),
    draft: z
      .object({ id: z.string(), number: z.number(), sealed: z.boolean(), reading: readingSchema })
      .nullable()
      .openapi({ description: 'The current draft.' }),
  })
  .openapi('Shot');

const readAll = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/shots',
  summary: 'The shots with their states and the readings of their current drafts',
  request: { params: inReview },
  responses: { 200: answer('The shots.', z.object({ shots: z.array(shotSchema) })), ...REFUSALS },
});

const changeShot = createRoute({
  method: 'patch',
  path: '/api/reviews/{review}/shots/{shot}',
  summary: 'Set state, person or day of a shot; for an animator, signing off for a lead',
  description:
    'Signing off seals the current draft; a retake of a sealed draft opens a new one from it.',
  request: {
    params: z.object({ review: reviewParam, shot: shotId }),
    body: jsonBody(
      z.object({
        state: z.enum(SHOT_STATES).optional(),
        assigned: z.string().max(80).nullable().optional(),
        due: z.string().refine(isDay, 'a day, YYYY-MM-DD').nullable().optional(),
      }),
    ),
  },
  responses: {
    204: { description: 'Done.' },
    409: { description: 'A call is open on the shot: it cannot be signed off now.' },
    ...REFUSALS,
  },
});

const listSchema = z
  .object({
    columns: z
      .array(z.enum(SHOT_COLUMNS).nullable())
      .readonly()
      .openapi({ description: 'What each column was taken for; null: left out.' }),
    added: z.array(z.string()).openapi({ description: 'Codes of new shots.' }),
    changed: z.array(z.string()).openapi({ description: 'Codes of shots that were there.' }),
    problems: z
      .array(z.object({ row: z.number().int().nullable(), message: z.string() }))
      .readonly(),
    brought: z.boolean().openapi({ description: 'False: nothing was changed.' }),
  })
  .openapi('BroughtList');

const addList = createRoute({
  method: 'post',
  path: '/api/reviews/{review}/shots/list',
  summary: 'Bring in a shot list (CSV in UTF-8), whole or not at all; for an animator or lead',
  request: {
    params: inReview,
    query: z.object({
      try: z.enum(['yes', 'no']).default('no').openapi({ description: 'yes: only tell.' }),
    }),
    body: { required: true, content: { 'text/csv': { schema: { type: 'string' } } } },
  },
  responses: {
    200: answer('What came of it.', listSchema),
    409: { description: 'It signs off a shot on which a call is open.' },
    422: { description: 'It is no CSV in UTF-8.' },
    ...REFUSALS,
  },
});

export function shotRoutes(deps: AppDeps): OpenAPIHono {
  const { rooms } = deps;
  const router = makeRouter();
  router.use(
    addList.getRoutingPath(),
    bodyLimit({
      maxSize: MAX_LIST_BYTES,
      onError: () => {
        throw new AppError('too-large', 'The list is larger than 2 MB.', 'Cut it in two.');
      },
    }),
  );
  return router
    .openapi(readAll, async (context) => {
      const { review } = context.req.valid('param');
      await personIn(context, deps, review);
      const { scenes, record } = docsOf(await documentsOf(rooms, review));
      const people = readPeople(record);
      const history = readHistory(record);
      const hidden = hiddenShots(record);
      const drafts = new Map(readDrafts(scenes).map((draft) => [draft.shot, draft] as const));
      const shots = readShots(scenes).map((shot) => {
        const { order: _, ...fields } = shot;
        const current = drafts.get(shot.id);
        const draft = current && {
          ...{ id: current.id, number: current.number, sealed: current.sealed },
          reading: hidden.has(shot.id) ? null : (history.get(current.id) ?? null),
        };
        return { ...fields, assigned: assignedName(shot, people), draft: draft ?? null };
      });
      return context.json({ shots }, 200);
    })
    .openapi(changeShot, async (context) => {
      const { review, shot: id } = context.req.valid('param');
      const person = await personIn(context, deps, review, 'animator');
      const { state, due, assigned } = context.req.valid('json');
      const { names, isOpen } = await rooms.with({ review, document: 'record' }, ({ doc }) => ({
        names: readPeople(doc),
        isOpen: openCallOn(doc, id) !== null,
      }));
      await rooms.with({ review, document: 'scenes' }, (room) => {
        const shot = readShots(room.doc).find((item) => item.id === id);
        if (shot === undefined) {
          throw absent('shot');
        }
        const isSignedOff = shot.state === 'signed-off';
        const signs = state !== undefined && (state === 'signed-off') !== isSignedOff;
        if (signs && person.role !== 'lead') {
          throw new AppError('forbidden', 'A lead signs off, and takes it back.', 'Ask a lead.');
        }
        if (signs && isOpen) {
          throw new AppError('full', 'A call is open on this shot.', 'Show it first.');
        }
        const origin = new Writer(person.id);
        const draft = readDrafts(room.doc, id).at(-1)?.id ?? null;
        return room.write((doc) => {
          const fields = {
            ...(due === undefined ? {} : { due }),
            ...(assigned === undefined ? {} : { assigned: assignedFor(assigned ?? '', names) }),
          };
          putShot(doc, { id, ...fields }, origin);
          if (state === undefined || state === shot.state) return;
          applyState(doc, { shot: id, state, draft, newId: makeId }, origin);
        }, origin);
      });
      return context.body(null, 204);
    })
    .openapi(addList, async (context) => {
      const { review } = context.req.valid('param');
      const person = await personIn(context, deps, review, 'animator');
      const table = readCsv(new Uint8Array(await context.req.arrayBuffer()));
      const states = SHOT_STATES.filter((item) => item !== 'signed-off' || person.role === 'lead');
      const list = readShotList(table, states);
      const only = context.req.valid('query').try === 'yes' || list.problems.length > 0;
      const { people, hidden } = await rooms.with({ review, document: 'record' }, ({ doc }) => ({
        people: readPeople(doc),
        hidden: hiddenShots(doc),
      }));
      const plan = await rooms.with({ review, document: 'scenes' }, async (room) => {
        const planned = planList(room.doc, list.shots);
        const kept = planned.changed.filter(({ shot }) => shot.state === 'signed-off');
        if (person.role !== 'lead' && kept.some(({ listed }) => listed.state !== undefined)) {
          throw new AppError(
            'forbidden',
            'The list changes the state of a shot that is signed off.',
            'A lead takes that back.',
          );
        }
        const signed = planned.changed.find(
          ({ shot, listed }) =>
            hidden.has(shot.id) && shot.state !== 'signed-off' && listed.state === 'signed-off',
        );
        if (signed !== undefined) {
          throw new AppError('full', `A call is open on ${signed.shot.code}.`, 'Show it first.');
        }
        if (only) return planned;
        const origin = new Writer(person.id);
        await room.write((doc) => {
          const settings = { people, otherwise: 'Brought in', newId: makeId };
          bringList(doc, list.shots, settings, origin);
        }, origin);
        return planned;
      });
      return context.json(told(list, plan, !only), 200);
    });
}

const told = (
  { columns, problems }: ShotList,
  { added, changed }: ReturnType<typeof planList>,
  brought: boolean,
): z.infer<typeof listSchema> => ({
  ...{ columns, problems, brought },
  added: added.map(({ code }) => code),
  changed: changed.map(({ shot }) => shot.code),
});
