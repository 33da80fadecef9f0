import { VERDICTS } from '../../core/balance/index.ts';
import { NOTE_STATES, type NoteQuery } from '../../core/document/index.ts';

/** Where in the page one is. */
export type Route =
  | { readonly page: 'door' }
  | { readonly page: 'board'; readonly review: string }
  | {
      readonly page: 'shot';
      readonly review: string;
      readonly shot: string;
      /** Draft to show; null for the current one. */
      readonly draft: string | null;
      /** Frame number to show, or null. */
      readonly frame: number | null;
      /** Note to open, or null. */
      readonly note: string | null;
    }
  | { readonly page: 'notes'; readonly review: string; readonly query: NoteQuery };

/** Fired on window when the address changed from inside the page. */
export const ROUTE_EVENT = 'cl-route';

/** Reads an address: /r/REVIEW, /r/REVIEW/shot/SHOT?draft=&frame=#note-ID, /r/REVIEW/notes?state=. */
export function parseRoute(address: URL): Route {
  const [first, review, kind, shot] = address.pathname.split('/').filter(Boolean).map(decode);
  if (first !== 'r' || !review) return { page: 'door' };
  if (kind === 'notes') return { page: 'notes', review, query: readQuery(address.searchParams) };
  if (kind !== 'shot' || !shot) return { page: 'board', review };
  const frame = address.searchParams.get('frame');
  const number = frame === null ? Number.NaN : Number.parseInt(frame, 10);
  return {
    page: 'shot',
    review,
    shot,
    draft: address.searchParams.get('draft'),
    frame: Number.isFinite(number) ? number : null,
    note: address.hash.startsWith(NOTE_HASH) ? decode(address.hash.slice(NOTE_HASH.length)) : null,
  };
}

const NOTE_HASH = '#note-';

function readQuery(fields: URLSearchParams): NoteQuery {
  const text = (name: keyof NoteQuery): string => fields.get(name) ?? '';
  const states = [...NOTE_STATES, 'standing', ''] as const;
  return {
    text: text('text'),
    person: text('person'),
    to: text('to'),
    state: states.find((state) => state === text('state')) ?? '',
    verdict: VERDICTS.find((verdict) => verdict === text('verdict')) ?? '',
    shot: text('shot'),
  };
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

export const boardPath = (review: string): string => `/r/${encodeURIComponent(review)}`;

export function shotPath(
  review: string,
  shot: string,
  at: { draft?: string | null; frame?: number | null; note?: string } = {},
): string {
  const query = new URLSearchParams();
  if (at.draft) query.set('draft', at.draft);
  if (at.frame !== null && at.frame !== undefined) query.set('frame', String(at.frame));
  const tail = query.size > 0 ? `?${query}` : '';
  const hash = at.note === undefined ? '' : NOTE_HASH + encodeURIComponent(at.note);
  return `${boardPath(review)}/shot/${encodeURIComponent(shot)}${tail}${hash}`;
}

/** The notes of the whole review, narrowed by a query. */
export function notesPath(review: string, query: Partial<NoteQuery> = {}): string {
  const fields = Object.entries(query).filter(([, value]) => value !== '');
  const tail = fields.length > 0 ? `?${new URLSearchParams(fields)}` : '';
  return `${boardPath(review)}/notes${tail}`;
}

/** Goes to an address of this page; `replace` leaves no step in the history. */
export function go(path: string, { replace = false } = {}): void {
  history[replace ? 'replaceState' : 'pushState'](null, '', path);
  window.dispatchEvent(new Event(ROUTE_EVENT));
}

/** Lets links inside the page change the route without loading it again; gives what stops it. */
export function followLinks(): () => void {
  const onClick = (event: MouseEvent): void => {
    if (event.defaultPrevented || event.button !== 0) return;
    if (event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    const link = event.composedPath().find((node) => node instanceof HTMLAnchorElement);
    if (link?.target !== '' || link.hasAttribute('download')) return;
    if (link.origin !== location.origin || !link.pathname.startsWith('/r/')) return;
    event.preventDefault();
    go(link.pathname + link.search + link.hash);
  };
  const onPop = (): void => {
    window.dispatchEvent(new Event(ROUTE_EVENT));
  };
  document.addEventListener('click', onClick);
  window.addEventListener('popstate', onPop);
  return () => {
    document.removeEventListener('click', onClick);
    window.removeEventListener('popstate', onPop);
  };
}
