import { isLoopbackName } from './access/origin.ts';
import { serve } from './serve.ts';

/**
 * The server as a process: the only file that reads the environment.
 *
 * COUNTERLEAN_PORT (4747), COUNTERLEAN_HOST (127.0.0.1), COUNTERLEAN_DATA (./data),
 * COUNTERLEAN_PUBLIC_URL (the address that people open, needed behind a proxy),
 * COUNTERLEAN_SECRET (signs cookies; else made once and kept in the data folder).
 */
const env = process.env;
const publicUrl = env.COUNTERLEAN_PUBLIC_URL || null;
const host = env.COUNTERLEAN_HOST || '127.0.0.1';

// With any sign that the server is for others than this machine, the demo does not open by itself:
// behind a proxy, everybody looks like this machine. An address of this machine (the development
// page has one) is no such sign.
const isPrivate =
  !env.COUNTERLEAN_HOST &&
  !env.COUNTERLEAN_SECRET &&
  (publicUrl === null || isLoopbackName(new URL(publicUrl).hostname));

try {
  const { url, leadLink, close } = await serve({
    port: portFrom(env.COUNTERLEAN_PORT),
    host,
    data: env.COUNTERLEAN_DATA || 'data',
    publicUrl,
    open: isPrivate,
    ...(env.COUNTERLEAN_SECRET ? { secret: env.COUNTERLEAN_SECRET } : {}),
  });
  console.log(`The page:      ${url}/`);
  if (leadLink !== null) {
    console.log(`The lead link: ${leadLink}`);
    console.log('Keep the lead link: it is shown this once, and whoever has it leads the review.');
  }
  const stop = (): void => {
    close().then(
      () => process.exit(0),
      (cause) => {
        console.error('The server did not close in order.', cause);
        process.exit(1);
      },
    );
  };
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
} catch (cause) {
  console.error(cause instanceof Error ? cause.message : cause);
  process.exit(1);
}

function portFrom(text: string | undefined): number {
  const port = Number(text || 4747);
  if (Number.isInteger(port) && port >= 0 && port < 65536) return port;
  throw new Error(`COUNTERLEAN_PORT is ${text}; it should be a port number, 0 to 65535`);
}
