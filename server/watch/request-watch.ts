import { randomUUID } from 'node:crypto';
import type { MiddlewareHandler } from 'hono';
import { routePath } from 'hono/route';
import type { Log } from '../log.ts';
import type { Metrics } from './metrics.ts';
import type { Readiness } from './readiness.ts';

declare module 'hono' {
  interface ContextVariableMap {
    /** Names this request in the log and in the answer. */
    requestId: string;
    /** Id of the person who asks, once it has been looked up. */
    personId: string;
  }
}

interface WatchDeps {
  readonly log: Log;
  readonly metrics: Metrics;
  readonly readiness: Readiness;
  /** How many proxies of ours stand in front; with one, its id for the request is taken over. */
  readonly proxies: number;
}

/** Gives every request an id, and logs and counts it when it has been answered. */
export function watchRequests({ log, metrics, readiness, proxies }: WatchDeps): MiddlewareHandler {
  return async (context, next) => {
    const brought = proxies > 0 ? context.req.header('x-request-id') : undefined;
    const id = brought !== undefined && /^[\w-]{8,64}$/.test(brought) ? brought : randomUUID();
    context.set('requestId', id);
    const began = performance.now();
    await next();
    context.res.headers.set('X-Request-Id', id);
    // A browser that keeps its line open would keep the server from stopping.
    if (readiness.isStopping) context.res.headers.set('Connection', 'close');
    const entry = {
      id,
      method: context.req.method,
      // The pattern of what answered, never the address: an invite's address is its secret.
      route: routePath(context),
      status: context.res.status,
      milliseconds: Math.round((performance.now() - began) * 10) / 10,
      person: (context.get('personId') as string | undefined) ?? null,
    };
    log.request(entry);
    metrics.request(entry);
  };
}
