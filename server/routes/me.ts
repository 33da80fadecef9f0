import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { AppError, absent } from '../errors.ts';
import {
  type AppDeps,
  answer,
  inReview,
  jsonBody,
  makeRouter,
  personHere,
  personIn,
  personSchema,
  REFUSALS,
  sessionOf,
} from './context.ts';

/** One line of text as people type names and titles: trimmed, without control characters. */
export const lineOfText = (longest: number) =>
  z
    .string()
    .transform((text) =>
      text
        .replace(/[\p{Cc}\p{Cf}]/gu, ' ')
        .replace(/\s+/g, ' ')
        .trim(),
    )
    .pipe(z.string().min(1).max(longest));

const meSchema = z
  .object({
    person: personSchema,
    review: z.object({ id: z.string(), title: z.string() }),
    generation: z.string().openapi({
      description:
        'Changes when the server was brought back to an earlier copy of its data. A page that knows ' +
        'another one keeps its own work apart before it takes in what is here.',
    }),
  })
  .openapi('Me');

const readMe = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/me',
  summary: 'Who this browser is in a review',
  request: { params: inReview },
  responses: { 200: answer('The person.', meSchema), ...REFUSALS },
});

const renameMe = createRoute({
  method: 'patch',
  path: '/api/reviews/{review}/me',
  summary: 'Change the name that the others see',
  request: { params: inReview, body: jsonBody(z.object({ name: lineOfText(40) })) },
  responses: { 200: answer('The person with the new name.', meSchema), ...REFUSALS },
});

const signOut = createRoute({
  method: 'post',
  path: '/api/sign-out',
  summary: 'Sign this person out in all their browsers; without a sign-in they cannot come back',
  responses: { 204: { description: 'Done; their windows are closed.' }, ...REFUSALS },
});

const askSignIn = createRoute({
  method: 'get',
  path: '/api/sign-in',
  summary: 'Whether one can sign in with a provider; /sign-in begins it',
  responses: { 200: answer('Whether.', z.object({ offered: z.boolean() })), ...REFUSALS },
});

export function meRoutes(deps: AppDeps): OpenAPIHono {
  const { generation } = deps;
  const titleOf = (review: string): { id: string; title: string } => {
    const found = deps.reviews.review(review);
    if (found === null) throw absent('review');
    return found;
  };
  return makeRouter()
    .openapi(readMe, async (context) => {
      const { review } = context.req.valid('param');
      const person = await personIn(context, deps, review);
      // The page asks this when it opens and when it comes back.
      const renewed = deps.sessions.renewed(context.req.header('cookie'));
      if (renewed !== null) context.header('Set-Cookie', renewed);
      return context.json({ person, review: titleOf(review), generation }, 200);
    })
    .openapi(renameMe, async (context) => {
      const { review } = context.req.valid('param');
      const person = await personHere(context, deps, review);
      const renamed = await deps.members.rename(review, person, context.req.valid('json').name);
      return context.json({ person: renamed, review: titleOf(review), generation }, 200);
    })
    .openapi(askSignIn, (context) => context.json({ offered: deps.openId !== null }, 200))
    .openapi(signOut, async (context) => {
      const session = sessionOf(context, deps);
      if (session === null) throw new AppError('not-signed-in', 'Nobody is signed in here.', '');
      const cookie = deps.sessions.end(session);
      await deps.members.signedOut(session);
      return context.body(null, 204, {
        'Set-Cookie': cookie,
        // What the browser kept of the reviews to work offline goes with the sign-in.
        'Clear-Site-Data': '"cache", "storage"',
      });
    });
}
