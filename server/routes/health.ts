import { timingSafeEqual } from 'node:crypto';
import { type Context, Hono } from 'hono';
import { isLoopbackName } from '../access/origin.ts';
import { hashOf } from '../access/secrets.ts';
import { AppError } from '../errors.ts';
import { type AppDeps, remoteOf } from './context.ts';

/** For whoever watches the server: is it there, is it ready, how is it. */
export function healthRoutes(deps: AppDeps): Hono {
  const { readiness, metrics } = deps;
  return new Hono()
    .get('/healthz', (context) => context.json({ ok: true }))
    .get('/readyz', (context) => {
      const ready = readiness.now();
      return context.json(ready, ready.ready ? 200 : 503, { 'Cache-Control': 'no-store' });
    })
    .get('/metrics', async (context) => {
      if (!mayWatch(context, deps)) {
        throw new AppError('not-found', 'There is nothing at this address.', '');
      }
      return context.body(await metrics.text(), 200, {
        'Content-Type': metrics.contentType,
        'Cache-Control': 'no-store',
      });
    });
}

/** With a token, whoever shows it; without one, programs on this machine that no proxy brings. */
function mayWatch(context: Context, { metricsToken, proxies, reach }: AppDeps): boolean {
  if (metricsToken !== null) {
    const shown = context.req.header('authorization') ?? '';
    return timingSafeEqual(hashOf(shown), hashOf(`Bearer ${metricsToken}`));
  }
  const isForOthers =
    proxies > 0 ||
    context.req.header('x-forwarded-for') !== undefined ||
    context.req.header('forwarded') !== undefined ||
    (reach.publicUrl !== null && !isLoopbackName(new URL(reach.publicUrl).hostname));
  return !isForOthers && isLoopbackName(new URL(context.req.url).hostname) && isHere(context);
}

const isHere = (context: Context): boolean =>
  /^(::1|(::ffff:)?127\.\d+\.\d+\.\d+)$/.test(remoteOf(context) ?? '');
