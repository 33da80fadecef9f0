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
 * `fetchSite` is the Sec-Fetch-Site header, which a browser sets and no page can.
 * Programs that are no browser send neither and cannot be made to act for somebody else.
 */
export function isOurOrigin(
  asked: { host: string | null; origin: string | null; fetchSite?: string | null },
  { publicUrl }: Reach,
): boolean {
  const { host, origin, fetchSite = null } = asked;
  // A neighbouring host is another site as far as our cookies and rights go.
  if (fetchSite === 'cross-site' || fetchSite === 'same-site') return false;
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
