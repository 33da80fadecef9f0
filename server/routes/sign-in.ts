import { type Context, Hono } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import { CALLBACK_PATH, type OpenIdDoor } from '../access/open-id.ts';
import { makeCapability } from '../access/secrets.ts';
import type { AccountStore, Identity } from '../storage/account-store.ts';
import { type AppDeps, callerOf, sessionOf } from './context.ts';
import { noticePage } from './pages.ts';

// Lax, unlike the sign-in cookie itself: it has to come along when the provider sends the browser back.
const FLOW_COOKIE = 'counterlean-sign-in';
// Browsers take a cookie of this prefix only over TLS (RFC 6265bis, section 4.1.3.1).
const FLOW_COOKIE_OVER_TLS = '__Secure-counterlean-sign-in';
const FLOW_PATH = '/sign-in';
const FLOW_AGE_S = 600;

const flowCookie = (secure: boolean): string => (secure ? FLOW_COOKIE_OVER_TLS : FLOW_COOKIE);

/** Sends a browser to the provider, and remembers which invite link it was following. */
export async function toProvider(
  context: Context,
  door: OpenIdDoor,
  from: { readonly session: string | null; readonly capability: string | null },
  secure: boolean,
): Promise<Response> {
  const { address, flow } = await door.begin(from);
  setCookie(context, flowCookie(secure), flow, {
    path: FLOW_PATH,
    httpOnly: true,
    sameSite: 'Lax',
    maxAge: FLOW_AGE_S,
    secure,
  });
  context.header('Cache-Control', 'no-store');
  context.header('Referrer-Policy', 'no-referrer');
  return context.redirect(address);
}

/** Sign-in with an OpenID Connect provider, where the settings name one. */
export function signInRoutes(deps: AppDeps): Hono {
  const { openId, sessions, accounts, limits, reach } = deps;
  const app = new Hono();
  if (openId === null) return app;
  const secure = reach.publicUrl?.startsWith('https:') ?? false;
  return app
    .get('/sign-in', async (context) => {
      limits.join(callerOf(context, deps));
      const session = sessionOf(context, deps);
      return toProvider(context, openId, { session, capability: null }, secure);
    })
    .get(CALLBACK_PATH, async (context) => {
      limits.join(callerOf(context, deps));
      const flow = getCookie(context, flowCookie(secure)) ?? null;
      deleteCookie(context, flowCookie(secure), { path: FLOW_PATH, secure });
      context.header('Cache-Control', 'no-store');
      const signedIn = await openId.end(flow, new URL(context.req.url).search);
      if (signedIn === null) {
        const sentence = 'That sign-in did not work, or took too long. Begin again.';
        return context.html(noticePage(sentence, { signIn: true }), 403);
      }
      const session = sessionFor(signedIn.identity, signedIn.session, accounts);
      context.header('Set-Cookie', sessions.signIn(session, context.req.header('cookie')), {
        append: true,
      });
      // By a page of our own: on the way from the provider, a Strict cookie is not sent.
      const { capability } = signedIn;
      const onward = capability === null ? '/' : `/join/${capability}?here`;
      return context.html(noticePage('You are signed in.', { onward }));
    });
}

/** The session of an identity; a new one keeps the session that its browser had, and so who it was. */
function sessionFor(identity: Identity, own: string | null, accounts: AccountStore): string {
  const known = accounts.sessionOf(identity);
  if (known !== null) return known;
  const session = own === null || accounts.has(own) ? makeCapability() : own;
  accounts.add(identity, session);
  return session;
}
