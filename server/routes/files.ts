import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import { bodyLimit } from 'hono/body-limit';
import { asOneOf } from '../../core/document/index.ts';
import { AppError } from '../errors.ts';
import { MAX_REVIEW_BYTES } from '../storage/file-store.ts';
import { CAUTION } from '../uploads/caution.ts';
import { checkFile } from '../uploads/check.ts';
import { type FileKind, isImage, MEDIA_TYPES } from '../uploads/kinds.ts';
import {
  type AppDeps,
  answer,
  inReview,
  makeRouter,
  personIn,
  REFUSALS,
  reviewParam,
} from './context.ts';

/** Largest file: a recorded clip of several minutes is a few megabytes. */
export const MAX_FILE_BYTES = 20 * 1024 * 1024;

const hashSchema = z
  .string()
  .regex(/^[0-9a-f]{64}$/)
  .openapi({ description: 'SHA-256, hex.' });

const keptSchema = z
  .object({
    hash: hashSchema,
    kind: z.enum(Object.keys(MEDIA_TYPES) as [FileKind, ...FileKind[]]),
    bytes: z.number().int(),
    width: z.number().int().nullable().openapi({ description: 'Of a picture, pixels.' }),
    height: z.number().int().nullable(),
    caution: z.string().openapi({ description: 'To be shown to whoever put it in.' }),
  })
  .openapi('KeptFile');

const putFile = createRoute({
  method: 'put',
  path: '/api/reviews/{review}/files',
  summary: 'Keep a file (raw body, at most 20 MB); for an animator or lead',
  description:
    'BVH clips, glTF 2.0 files, COCO keypoints, scenes of ours, and PNG, JPEG or WebP pictures of at most 40 ' +
    `megapixels, told by their content. A picture is encoded anew without its metadata. ${CAUTION}`,
  request: {
    params: inReview,
    body: {
      required: true,
      content: {
        'application/octet-stream': { schema: { type: 'string', format: 'binary' } },
      },
    },
  },
  responses: {
    200: answer('What to find it by.', keptSchema),
    409: { description: 'The review has as many files as it may.' },
    422: { description: 'It is no file that a review keeps.' },
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
    deps.limits.upload(person.id);
    const { kind, bytes: kept, size } = await checkFile(bytes);
    if (deps.files.sizeOf(review) + kept.byteLength > MAX_REVIEW_BYTES) {
      throw new AppError('full', 'This review has as many files as it may.', 'Make a new review.');
    }
    const hash = deps.files.put(review, person.id, { kind, bytes: kept });
    deps.metrics.uploaded(kind, kept.byteLength);
    const { width, height } = size ?? { width: null, height: null };
    const answered = { hash, kind, bytes: kept.byteLength, width, height, caution: CAUTION };
    return context.json(answered, 200);
  });
  router.openapi(readFile, async (context) => {
    const { review, hash } = context.req.valid('param');
    await personIn(context, deps, review);
    const file = deps.files.get(review, hash);
    if (file === null) {
      throw new AppError(
        'not-found',
        'This review has no such file.',
        'Put it into the review again.',
      );
    }
    // Never a type that a browser would run: what people upload must not become a page of ours.
    const kind = asOneOf(file.kind, Object.keys(MEDIA_TYPES) as FileKind[]);
    return context.body(file.bytes, 200, {
      'Content-Type': kind === null ? 'application/octet-stream' : MEDIA_TYPES[kind],
      'Content-Disposition': kind !== null && isImage(kind) ? 'inline' : 'attachment',
      'Content-Security-Policy': "default-src 'none'; sandbox",
      'Cache-Control': 'private, max-age=31536000, immutable',
    });
  });
  return router;
}
