import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { bodyLimit } from 'hono/body-limit';
import { AppError } from '../errors.ts';
import { type AppDeps, answer, makeRouter, personIn, REFUSALS, reviewParam } from './context.ts';

/** Largest file: a recorded clip of several minutes is a few megabytes. */
export const MAX_FILE_BYTES = 20 * 1024 * 1024;

const hashSchema = z
  .string()
  .regex(/^[0-9a-f]{64}$/)
  .openapi({ description: 'SHA-256, hex.' });

const putFile = createRoute({
  method: 'put',
  path: '/api/reviews/{review}/files',
  summary: 'Keep a file (raw body, at most 20 MB); for an animator or lead',
  request: {
    params: z.object({ review: reviewParam }),
    body: {
      required: true,
      content: {
        'application/octet-stream': { schema: { type: 'string', format: 'binary' } },
      },
    },
  },
  responses: {
    200: answer('What to find it by.', z.object({ hash: hashSchema })),
    413: { description: 'It is too large.' },
    ...REFUSALS,
  },
});

const readFile = createRoute({
  method: 'get',
  path: '/api/reviews/{review}/files/{hash}',
  summary: 'A file of the review',
  request: { params: z.object({ review: reviewParam, hash: hashSchema }) },
  responses: {
    200: {
      description: 'Its bytes.',
      content: { 'application/octet-stream': { schema: { type: 'string', format: 'binary' } } },
    },
    ...REFUSALS,
  },
});

export function fileRoutes(deps: AppDeps): OpenAPIHono {
  const router = makeRouter();
  router.use(
    putFile.getRoutingPath(),
    bodyLimit({
      maxSize: MAX_FILE_BYTES,
      onError: () => {
        throw new AppError(
          'too-large',
          'The file is larger than 20 MB.',
          'Cut the clip, or leave frames out.',
        );
      },
    }),
  );
  router.openapi(putFile, async (context) => {
    const { review } = context.req.valid('param');
    const person = await personIn(context, deps, review, 'animator');
    const bytes = new Uint8Array(await context.req.arrayBuffer());
    if (bytes.byteLength === 0) {
      throw new AppError('bad-input', 'The file is empty.', 'Send its bytes as the body.');
    }
    return context.json({ hash: deps.files.put(review, person.id, bytes) }, 200);
  });
  router.openapi(readFile, async (context) => {
    const { review, hash } = context.req.valid('param');
    await personIn(context, deps, review);
    const bytes = deps.files.get(review, hash);
    if (bytes === null) {
      throw new AppError(
        'not-found',
        'This review has no such file.',
        'Put it into the review again.',
      );
    }
    // Never a type that a browser would run: what people upload must not become a page of ours.
    return context.body(bytes, 200, {
      'Content-Type': isText(bytes) ? 'text/plain; charset=utf-8' : 'application/octet-stream',
      'Content-Disposition': 'attachment',
      'Content-Security-Policy': "default-src 'none'; sandbox",
      'Cache-Control': 'private, max-age=31536000, immutable',
    });
  });
  return router;
}

function isText(bytes: Uint8Array): boolean {
  try {
    return !new TextDecoder('utf-8', { fatal: true }).decode(bytes).includes('\0');
  } catch {
    return false;
  }
}
