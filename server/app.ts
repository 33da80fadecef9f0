import { OpenAPIHono } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { HTTPException } from 'hono/http-exception';
import { isOurHost, isOurOrigin } from './access/origin.ts';
import { AppError, TooMany } from './errors.ts';
import { callRoutes } from './routes/calls.ts';
import { type AppDeps, bearerOf, callerOf, sessionOf } from './routes/context.ts';
import { draftRoutes } from './routes/drafts.ts';
import { fileRoutes } from './routes/files.ts';
import { healthRoutes } from './routes/health.ts';
import { joinRoutes } from './routes/join.ts';
import { meRoutes } from './routes/me.ts';
import { pointRoutes } from './routes/points.ts';
import { recordRoutes } from './routes/record.ts';
import { reviewFileRoutes } from './routes/review-file.ts';
import { reviewRoutes } from './routes/reviews.ts';
import { sheetRoutes } from './routes/sheets.ts';
import { shotRoutes } from './routes/shots.ts';
import { signInRoutes } from './routes/sign-in.ts';
import { siteRoutes } from './routes/site.ts';
import { tokenRoutes } from './routes/tokens.ts';
import { webhookRoutes } from './routes/webhooks.ts';
import { watchRequests } from './watch/request-watch.ts';

/**
 * Style attributes are allowed, style elements of a page are not: figures and charts are placed by
 * inline lengths. Scripts come from files of this server alone.
 */
const PAGE_POLICY = [
  "default-src 'self'",
  "script-src 'self'",
  "style-src 'self'",
  "style-src-attr 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "worker-src 'self' blob:",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');

const HEADERS = {
  'Content-Security-Policy': PAGE_POLICY,
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'same-origin',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
};

/** A browser that has come over TLS once never comes without it again. */
const HEADERS_OVER_TLS = { 'Strict-Transport-Security': 'max-age=31536000' };

/** The HTTP program as a function of what it needs. It listens to nothing: serve.ts does. */
export function createApp(deps: AppDeps): OpenAPIHono {
  const app = new OpenAPIHono();
  const isOverTls = deps.reach.publicUrl?.startsWith('https:') ?? false;
  const headers = isOverTls ? { ...HEADERS, ...HEADERS_OVER_TLS } : HEADERS;

  app.use(watchRequests(deps));
  app.use(async (context, next) => {
    const host = context.req.header('host') ?? new URL(context.req.url).host;
    const origin = context.req.header('origin') ?? null;
    const fetchSite = context.req.header('sec-fetch-site') ?? null;
    const changes = !['GET', 'HEAD', 'OPTIONS'].includes(context.req.method);
    const isOurs = !changes || isOurOrigin({ host, origin, fetchSite }, deps.reach);
    if (!isOurHost(host, deps.reach) || !isOurs) {
      throw new AppError(
        'wrong-origin',
        'That came from another site.',
        'Open the review under its own address, or set COUNTERLEAN_PUBLIC_URL to it.',
      );
    }
    if (changes) {
      const who = bearerOf(context) ?? sessionOf(context, deps);
      deps.limits.write(who, callerOf(context, deps));
    }
    await next();
    for (const [name, value] of Object.entries(headers)) {
      // A route that knows better (a file, a drawing) has set its own.
      if (!context.res.headers.has(name)) context.res.headers.set(name, value);
    }
    // What is answered to one person is for no cache; files, which never change, say otherwise.
    const isData = context.req.path.startsWith('/api/');
    if (isData && !context.res.headers.has('Cache-Control')) {
      context.res.headers.set('Cache-Control', 'no-store');
    }
  });

  app.route('/', healthRoutes(deps));
  app.route('/', joinRoutes(deps));
  app.route('/', signInRoutes(deps));
  app.route('/', meRoutes(deps));
  app.route('/', reviewRoutes(deps));
  app.route('/', fileRoutes(deps));
  app.route('/', draftRoutes(deps));
  app.route('/', callRoutes(deps));
  app.route('/', pointRoutes(deps));
  app.route('/', sheetRoutes(deps));
  app.route('/', recordRoutes(deps));
  app.route('/', shotRoutes(deps));
  app.route('/', reviewFileRoutes(deps));
  app.route('/', tokenRoutes(deps));
  app.route('/', webhookRoutes(deps));
  app.doc31('/api/openapi.json', {
    openapi: '3.1.0',
    info: {
      title: 'Counterlean',
      version: '1',
      description: 'Reviews of posed figures and their balance. SI units; Y up.',
    },
  });
  app.route('/', siteRoutes(deps));

  app.notFound((context) =>
    problem(context, new AppError('not-found', 'There is nothing at this address.', '')),
  );
  app.onError((error, context) => {
    if (error instanceof AppError) return problem(context, error);
    if (error instanceof HTTPException && error.status < 500) {
      return problem(context, new AppError('bad-input', error.message, ''));
    }
    // Whole to the log, an id to the asker: messages of the unexpected tell too much about the inside.
    const id = context.get('requestId');
    deps.log.problem(`Request ${id} failed.`, error);
    const hint = `Tell whoever runs this server: ${id}`;
    return context.json(
      { error: { code: 'failed', message: 'Something went wrong here.', hint } },
      500,
    );
  });
  return app;
}

function problem(context: Context, error: AppError): Response {
  const { code, message, hint, status } = error;
  if (error instanceof TooMany) context.header('Retry-After', String(error.seconds));
  return context.json({ error: { code, message, hint } }, status);
}
