/** The lit room, the darkened one, or whatever the system prefers. */
export type Room = 'light' | 'dark' | 'system';

const ROOM_KEY = 'counterlean-room';
const SIZE_KEY = 'counterlean-size';

/** Fired on window when the colours of the page changed; canvases read theirs again. */
export const ROOM_EVENT = 'cl-room';

const systemDark = window.matchMedia('(prefers-color-scheme: dark)');
systemDark.addEventListener('change', () => window.dispatchEvent(new Event(ROOM_EVENT)));

/** Listens for ROOM_EVENT; gives what stops it. */
export function onRoomChange(listener: () => void): () => void {
  window.addEventListener(ROOM_EVENT, listener);
  return () => window.removeEventListener(ROOM_EVENT, listener);
}

export function readRoom(): Room {
  const room = document.documentElement.dataset.room;
  return room === 'dark' || room === 'light' ? room : 'system';
}

/** Whether the page is drawn in its dark set now. */
export const isDark = (): boolean =>
  readRoom() === 'system' ? systemDark.matches : readRoom() === 'dark';

export function setRoom(room: Room): void {
  if (room === 'system') delete document.documentElement.dataset.room;
  else document.documentElement.dataset.room = room;
  localStorage.setItem(ROOM_KEY, room);
  window.dispatchEvent(new Event(ROOM_EVENT));
}

/** Whether letters are large enough to be read from across the room. */
export const isBig = (): boolean => document.documentElement.dataset.size === 'big';

export function setBig(big: boolean): void {
  if (big) document.documentElement.dataset.size = 'big';
  else delete document.documentElement.dataset.size;
  localStorage.setItem(SIZE_KEY, big ? 'big' : 'usual');
  window.dispatchEvent(new Event(ROOM_EVENT));
}

/** Takes up what was chosen in this browser before. */
export function restoreRoom(): void {
  const room = localStorage.getItem(ROOM_KEY);
  if (room === 'dark' || room === 'light') setRoom(room);
  if (localStorage.getItem(SIZE_KEY) === 'big') setBig(true);
}

/** A colour of the page as it is now, e.g. `--ink` gives `#1d2330`. */
export function tokenColour(name: string): string {
  const known = colours.get(name);
  if (known !== undefined) return known;
  const colour = getComputedStyle(document.documentElement).getPropertyValue(name).trim();
  if (colour !== '') colours.set(name, colour);
  return colour;
}

// Asking the page makes it work out all of its styles first, which costs more than a step of a drag may.
const colours = new Map<string, string>();
window.addEventListener(ROOM_EVENT, () => colours.clear());
