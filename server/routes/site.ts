import { serveStatic } from '@hono/node-server/serve-static';
import { Hono } from 'hono';
import { compress } from 'hono/compress';
import type { AppDeps } from './context.ts';
import { noticePage } from './pages.ts';

/** The built page: its files, and index.html for every review. */
export function siteRoutes({ webRoot }: Pick<AppDeps, 'webRoot'>): Hono {
  const app = new Hono();
  // The page brings its icon along. Browsers ask for this one by themselves where a short page names none.
  app.get('/favicon.ico', (context) => {
    context.header('Cache-Control', 'public, max-age=86400');
    return context.body(null, 204);
  });
  if (webRoot === null) {
    return app.get('/r/*', (context) =>
      context.html(noticePage('The page has not been built. Run npm start.'), 503),
    );
  }
  app.use('/assets/*', compress());
  // Names in assets/ hold a hash of their content, so a browser never has to ask for one again.
  app.use('/assets/*', async (context, next) => {
    await next();
    if (context.res.ok) {
      context.res.headers.set('Cache-Control', 'public, max-age=31536000, immutable');
    }
  });
  app.get('/r/*', async (context, next) => {
    await next();
    context.res.headers.set('Cache-Control', 'no-cache');
  });
  app.get('/r/*', serveStatic({ root: webRoot, path: 'index.html' }));
  app.get('*', serveStatic({ root: webRoot }));
  return app;
}
