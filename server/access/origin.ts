/** Where the server may be reached, to tell its own page's requests from other sites'. */
export interface Reach {
  /** Address that people open, without a slash at the end; null: whatever Host they used. */
  readonly publicUrl: string | null;
  /** Bound to this machine alone. */
  readonly loopback: boolean;
}

const LOOPBACK_NAMES = new Set(['localhost', '127.0.0.1', '[::1]']);

export const isLoopbackName = (hostname: string): boolean => LOOPBACK_NAMES.has(hostname);

/**
 * Whether a request was meant for this server. On a loopback server a foreign Host means that some
 * site's name was pointed at this machine to reach it past the browser's rules (DNS rebinding).
 */
export function isOurHost(host: string | null, { publicUrl, loopback }: Reach): boolean {
  if (host === null) return false;
  if (publicUrl !== null && host === new URL(publicUrl).host) return true;
  const name = hostnameOf(host);
  if (loopback) return name !== null && isLoopbackName(name);
  return publicUrl === null;
}

/**
 * Whether a request that changes something, or opens a socket, comes from this server's own page.
 * Programs that are no browser send no Origin and cannot be made to act for somebody else.
 */
export function isOurOrigin(
  { host, origin }: { host: string | null; origin: string | null },
  { publicUrl }: Reach,
): boolean {
  if (origin === null) return true;
  if (publicUrl !== null && origin === new URL(publicUrl).origin) return true;
  return host !== null && (origin === `http://${host}` || origin === `https://${host}`);
}

function hostnameOf(host: string): string | null {
  try {
    return new URL(`http://${host}`).hostname;
  } catch {
    return null;
  }
}
