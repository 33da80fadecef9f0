/**
 * Where JSON text first breaks the grammar of RFC 8259, in words a person can act on. Engines word
 * and place their own errors differently (some give no place at all), so the place is found here.
 * Only called on text that JSON.parse has refused; it decides nothing about valid text.
 */
export interface JsonFault {
  /** 1-based. */
  readonly line: number;
  /** 1-based, in characters. */
  readonly column: number;
  readonly expected: string;
  readonly found: string;
}

class Fault {
  readonly at: number;
  readonly expected: string;
  constructor(at: number, expected: string) {
    this.at = at;
    this.expected = expected;
  }
}

const LITERAL = /true|false|null/y;
const NUMBER = /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y;
// biome-ignore lint/suspicious/noControlCharactersInRegex: RFC 8259 section 7 forbids them in strings
const STRING = /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y;
const SPACE = /[ \t\r\n]*/y;

/** The first fault of the text, or null if there is none. */
export function findJsonFault(text: string): JsonFault | null {
  try {
    const end = skip(text, value(text, skip(text, 0)));
    if (end < text.length) throw new Fault(end, 'the end of the file');
    return null;
  } catch (fault) {
    if (!(fault instanceof Fault)) throw fault;
    const before = text.slice(0, fault.at).split('\n');
    return {
      line: before.length,
      column: (before.at(-1) ?? '').length + 1,
      expected: fault.expected,
      found: fault.at >= text.length ? 'the end of the file' : JSON.stringify(text[fault.at]),
    };
  }
}

function match(pattern: RegExp, text: string, at: number): number | null {
  pattern.lastIndex = at;
  return pattern.test(text) ? pattern.lastIndex : null;
}

const skip = (text: string, at: number): number => match(SPACE, text, at) ?? at;

// Deeper than any file that makes sense, and far from the end of the call stack.
const MAX_DEPTH = 500;

/** Each reader returns the index behind what it read, or throws a Fault. */
function value(text: string, at: number, depth = 0): number {
  if (depth > MAX_DEPTH) throw new Fault(at, `at most ${MAX_DEPTH} levels`);
  if (text[at] === '{') return list(text, at + 1, '}', depth + 1, member);
  if (text[at] === '[') return list(text, at + 1, ']', depth + 1, value);
  if (text[at] === '"') return string(text, at);
  const end = match(NUMBER, text, at) ?? match(LITERAL, text, at);
  if (end === null) throw new Fault(at, 'a value');
  return end;
}

function string(text: string, at: number): number {
  const end = match(STRING, text, at);
  if (end === null) throw new Fault(at, 'text that closes with a double quote on the same line');
  return end;
}

function member(text: string, at: number, depth: number): number {
  if (text[at] !== '"') throw new Fault(at, 'a field name in double quotes');
  const colon = skip(text, string(text, at));
  if (text[colon] !== ':') throw new Fault(colon, 'a colon behind the field name');
  return value(text, skip(text, colon + 1), depth);
}

function list(
  text: string,
  start: number,
  close: string,
  depth: number,
  item: (text: string, at: number, depth: number) => number,
): number {
  let at = skip(text, start);
  if (text[at] === close) return at + 1;
  for (;;) {
    at = skip(text, item(text, at, depth));
    if (text[at] === close) return at + 1;
    if (text[at] !== ',') throw new Fault(at, `a comma or "${close}"`);
    at = skip(text, at + 1);
  }
}
