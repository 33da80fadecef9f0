import { type Context, Hono } from 'hono';
import type { Joined, Joining } from '../access/members.ts';
import { isLoopbackName } from '../access/origin.ts';
import { AppError } from '../errors.ts';
import { type AppDeps, callerOf, sessionOf } from './context.ts';
import { noticePage, passphrasePage } from './pages.ts';
import { toProvider } from './sign-in.ts';

const NO_LINK = 'This link does not open a review any more. Ask a lead for a new one.';
const FULL = 'This review has as many people as it can take. Ask a lead to make room.';

/** Invite links, and the front door. Both end at /r/REVIEW with a cookie and no secret in sight. */
export function joinRoutes(deps: AppDeps): Hono {
  const { members, invites, openReview, sessions, limits, openId, accounts, reach } = deps;
  const enter = (context: Context, { session, review }: Joined): Response =>
    new Response(null, {
      status: 302,
      headers: {
        Location: `/r/${review}`,
        'Set-Cookie': sessions.signIn(session, context.req.header('cookie')),
        'Referrer-Policy': 'no-referrer',
        'Cache-Control': 'no-store',
      },
    });

  const answerTo = (context: Context, joining: Joining): Response | Promise<Response> => {
    if (joining.kind === 'joined') return enter(context, joining);
    context.header('Cache-Control', 'no-store');
    const isPage = isBrowser(context);
    if (joining.kind === 'opens-nothing') {
      if (isPage) return context.html(noticePage(NO_LINK), 404);
      throw new AppError('not-found', 'This link opens nothing.', 'Ask for a new one.');
    }
    if (joining.kind === 'full') {
      if (isPage) return context.html(noticePage(FULL), 409);
      throw new AppError('full', FULL, '');
    }
    const isWrong = joining.kind === 'wrong-passphrase';
    if (isPage) return context.html(passphrasePage({ isWrong }), isWrong ? 403 : 401);
    throw new AppError(
      isWrong ? 'forbidden' : 'not-signed-in',
      isWrong ? 'That is not the passphrase.' : 'This link needs a passphrase.',
      'Send it as the form field "passphrase".',
    );
  };

  const join = async (context: Context, passphrase: string | null): Promise<Response> => {
    const capability = context.req.param('capability') ?? '';
    if (isEmbedded(context)) {
      throw new AppError('wrong-origin', 'A link is opened, not loaded by a page.', '');
    }
    const caller = callerOf(context, deps);
    limits.join(caller);
    const session = sessionOf(context, deps);
    if (openId?.only && (session === null || !accounts.has(session))) {
      if (!isBrowser(context)) {
        throw new AppError('not-signed-in', 'Sign in first.', 'Open the link in a browser.');
      }
      if (invites.opens(capability) === null) return context.html(noticePage(NO_LINK), 404);
      const secure = reach.publicUrl?.startsWith('https:') ?? false;
      return toProvider(context, openId, { session, capability }, secure);
    }
    const onTry = (invite: string): void => limits.passphrase(invite, caller);
    return answerTo(context, await members.join({ session, capability, passphrase, onTry }));
  };

  return new Hono()
    .get('/join/:capability', async (context) => {
      const session = sessionOf(context, deps);
      const isFirst = context.req.query('here') === undefined;
      // A link in somebody's chat comes without our Strict cookie, though the browser may have one,
      // and would make its owner a second person. Asked again from our own page, it is sent. And a
      // link that counts its uses is not used up by a chat program that merely looks at it.
      const isCounted = invites.opens(context.req.param('capability'))?.maxUses != null;
      if (isFirst && ((session === null && isBrowser(context)) || isCounted)) {
        return context.html(noticePage('Opening the review.', { onward: '?here' }), 200, {
          'Referrer-Policy': 'same-origin',
          'Cache-Control': 'no-store',
        });
      }
      return join(context, null);
    })
    .post('/join/:capability', async (context) => {
      const { passphrase } = await context.req.parseBody();
      return join(context, typeof passphrase === 'string' ? passphrase : '');
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
        return enter(context, await members.joinAsLead(session, openReview));
      }
      const review = session === null ? null : deps.reviews.latestOf(session);
      if (review !== null) return context.redirect(`/r/${review}`);
      const signIn = openId !== null;
      return context.html(
        noticePage('Open the invite link that a lead of the review sent you.', { signIn }),
        401,
      );
    });
}

/** Whether another site's page asked for it as one of its parts, such as a picture. */
function isEmbedded(context: Context): boolean {
  const site = context.req.header('sec-fetch-site');
  const isForeign = site === 'cross-site' || site === 'same-site';
  return isForeign && context.req.header('sec-fetch-mode') !== 'navigate';
}

const isBrowser = (context: Context): boolean =>
  context.req.header('accept')?.includes('text/html') ?? false;
