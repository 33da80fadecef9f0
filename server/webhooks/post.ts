import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import { isIP } from 'node:net';
import { isPublicAddress, NOT_PUBLIC, publicLookup } from './public-address.ts';

/** Sends a body to an address. @returns the status of the answer; rejects when there is none */
export type Post = (
  url: string,
  headers: Readonly<Record<string, string>>,
  body: string,
) => Promise<number>;

/** How long the other side may take. */
const PATIENCE_MS = 10_000;

/**
 * Makes what posts to webhooks. It follows no redirects and reads no answer but its status.
 * @param inner whether addresses of this machine and its network may be posted to
 */
export const makePost =
  (inner: boolean): Post =>
  (url, headers, body) =>
    new Promise((resolve, reject) => {
      const { protocol, hostname } = new URL(url);
      const literal = hostname.replace(/^\[|\]$/g, '');
      if (!inner && isIP(literal) !== 0 && !isPublicAddress(literal)) {
        reject(new Error(NOT_PUBLIC));
        return;
      }
      const send = protocol === 'https:' ? httpsRequest : httpRequest;
      const sending = send(
        url,
        {
          method: 'POST',
          headers: { ...headers, 'content-length': String(Buffer.byteLength(body)) },
          signal: AbortSignal.timeout(PATIENCE_MS),
          agent: false,
          ...(inner ? {} : { lookup: publicLookup }),
        },
        (answer) => {
          resolve(answer.statusCode ?? 0);
          answer.destroy();
        },
      );
      sending.on('error', reject);
      sending.end(body);
    });
