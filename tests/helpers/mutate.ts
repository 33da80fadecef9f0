/** Seeded damage to files, as copying, cutting and other programs do it. All take a source of [0, 1). */
type Random = () => number;

const pick = <T>(list: readonly T[], next: Random): T =>
  list[Math.floor(next() * list.length)] as T;

/** Words that readers stumble over. */
const WORDS = [
  ...['', ' ', '0', '-1', '1e999', 'NaN', '-0', '99999999999', '0.5.5', '1e-300', 'null', 'true'],
  ...['{', '}', '[', ']', '"', ',', ':', '\n', '\r', '\t', '\u0000', '\ufeff', '\u20ac', '\ud83d'],
  ...['ROOT', 'JOINT', 'End Site', 'MOTION', 'Frames: 9', 'CHANNELS 6', 'OFFSET'],
];

/** One to three changes: a part cut, doubled or moved, a word put in, a character replaced, the end cut off. */
export function mutateText(text: string, next: Random): string {
  let out = text;
  for (let round = 1 + Math.floor(next() * 3); round > 0; round--) {
    const at = Math.floor(next() * (out.length + 1));
    const span = Math.floor(next() ** 3 * 60);
    const part = out.slice(at, at + span);
    switch (Math.floor(next() * 7)) {
      case 0:
        out = out.slice(0, at) + out.slice(at + span);
        break;
      case 1:
        out = out.slice(0, at) + part + out.slice(at);
        break;
      case 2: {
        const to = Math.floor(next() * (out.length + 1));
        out = out.slice(0, to) + part + out.slice(to);
        break;
      }
      case 3:
        out = out.slice(0, at) + pick(WORDS, next) + out.slice(at);
        break;
      case 4:
        out = out.slice(0, at) + String.fromCharCode(Math.floor(next() * 128)) + out.slice(at + 1);
        break;
      case 5:
        // A number becomes another: files that stay well-formed and mean something odd.
        out = replaceNumber(out, next);
        break;
      default:
        if (next() < 0.3) out = out.slice(0, at);
    }
  }
  return out;
}

const NUMBERS = [
  '0',
  '-1',
  '1',
  '2',
  '7',
  '3.5',
  '1e9',
  '-1e9',
  '1e300',
  '0.0000001',
  '65536',
  '4294967296',
];

function replaceNumber(text: string, next: Random): string {
  const found = [...text.matchAll(/-?\d+(?:\.\d+)?(?:e-?\d+)?/g)];
  if (found.length === 0) return text;
  const { index, 0: old } = pick(found, next);
  return text.slice(0, index) + pick(NUMBERS, next) + text.slice(index + old.length);
}

/** One to four bytes replaced, or a part cut, doubled or dropped from the end. */
export function mutateBytes(bytes: Uint8Array, next: Random): Uint8Array {
  const at = Math.floor(next() * bytes.length);
  const span = 1 + Math.floor(next() ** 3 * 40);
  const kind = next();
  if (kind < 0.1) return bytes.slice(0, at);
  if (kind < 0.2) return joined(bytes.slice(0, at), bytes.slice(at + span));
  if (kind < 0.3) return joined(bytes.slice(0, at + span), bytes.slice(at));
  const out = bytes.slice();
  for (let round = 1 + Math.floor(next() * 4); round > 0; round--) {
    out[Math.floor(next() * out.length)] = Math.floor(next() * 256);
  }
  return out;
}

function joined(a: Uint8Array, b: Uint8Array): Uint8Array {
  const out = new Uint8Array(a.length + b.length);
  out.set(a);
  out.set(b, a.length);
  return out;
}

const VALUES: readonly unknown[] = [
  ...[null, true, '', 'x', 'rotation', 'VEC4', 'data:;base64,AAAA', [], [[]], {}, { uri: 'a' }],
  ...[0, 1, 2, 3, -1, 0.5, 1e9, -1e9, 1e300, 255, 65536, 2 ** 53, 5126, 5121],
];

/** One to three places of a parsed file: given another value, taken out, or copied over each other. */
export function mutateJson(data: unknown, next: Random): unknown {
  const out: unknown = structuredClone(data);
  for (let round = 1 + Math.floor(next() * 3); round > 0; round--) {
    const places = placesIn(out);
    if (places.length === 0) return out;
    const { holder, key } = pick(places, next);
    const kind = next();
    if (kind < 0.55) set(holder, key, structuredClone(pick(VALUES, next)));
    else if (kind < 0.75) remove(holder, key);
    else {
      const other = pick(places, next);
      set(holder, key, structuredClone(other.holder[other.key]));
    }
  }
  return out;
}

interface Place {
  readonly holder: Record<string, unknown>;
  readonly key: string;
}

function placesIn(data: unknown): Place[] {
  if (typeof data !== 'object' || data === null) return [];
  const holder = data as Record<string, unknown>;
  return Object.keys(holder).flatMap((key) => [{ holder, key }, ...placesIn(holder[key])]);
}

function set(holder: Record<string, unknown>, key: string, value: unknown): void {
  holder[key] = value;
}

function remove(holder: Record<string, unknown>, key: string): void {
  if (Array.isArray(holder)) holder.splice(Number(key), 1);
  else delete holder[key];
}
