import { Hono } from 'hono';
import { sessionCookie } from '../access/cookie.ts';
import type { Joined } from '../access/members.ts';
import { isLoopbackName } from '../access/origin.ts';
import { AppError } from '../errors.ts';
import { type AppDeps, sessionOf } from './context.ts';
import { noticePage } from './pages.ts';

/** Invite links, and the front door. Both end at /r/REVIEW with a cookie and no secret in sight. */
export function joinRoutes(deps: AppDeps): Hono {
  const { members, openReview, reach, secret } = deps;
  const enter = ({ session, review }: Joined): Response =>
    new Response(null, {
      status: 302,
      headers: {
        Location: `/r/${review}`,
        'Set-Cookie': sessionCookie(session, secret, reach.publicUrl),
        'Referrer-Policy': 'no-referrer',
        'Cache-Control': 'no-store',
      },
    });

  return new Hono()
    .get('/join/:capability', async (context) => {
      const capability = context.req.param('capability');
      const session = sessionOf(context, deps);
      const isBrowser = context.req.header('accept')?.includes('text/html') ?? false;
      if (session === null && isBrowser && context.req.query('here') === undefined) {
        // A link in somebody's chat comes without our Strict cookie, though the browser may have one,
        // and would make its owner a second person. Asked again from our own page, it is sent.
        return context.html(noticePage('Opening the review.', { onward: '?here' }), 200, {
          'Referrer-Policy': 'same-origin',
          'Cache-Control': 'no-store',
        });
      }
      const joined = await members.join(session, capability);
      if (joined !== null) return enter(joined);
      if (!isBrowser) {
        throw new AppError('not-found', 'This link opens nothing.', 'Ask for a new one.');
      }
      return context.html(
        noticePage('This link does not open a review any more. Ask a lead for a new one.'),
        404,
      );
    })
    .get('/', async (context) => {
      const session = sessionOf(context, deps);
      // Only for a browser on this very machine that asked for it by its own name: a proxy in front
      // brings other people here, and says so in these headers.
      const isLocal =
        isLoopbackName(new URL(context.req.url).hostname) &&
        context.req.header('forwarded') === undefined &&
        context.req.header('x-forwarded-for') === undefined;
      if (openReview !== null && isLocal) {
        return enter(await members.joinAsLead(session, openReview));
      }
      const review = session === null ? null : deps.reviews.latestOf(session);
      if (review !== null) return context.redirect(`/r/${review}`);
      return context.html(
        noticePage('Open the invite link that a lead of the review sent you.'),
        401,
      );
    });
}
