/**
 * Keeps the last few answers of a pure function whose argument is a list of numbers: while one of two
 * figures is dragged, the region of its own centre stays what it was. The answers are the same with and
 * without it.
 */
export class Memo<T> {
  readonly #entries: { readonly key: Float64Array; readonly value: T }[] = [];
  readonly #size: number;

  constructor(size: number) {
    this.#size = size;
  }

  /** The kept answer for this key, or that of `make`, which is then kept; the oldest goes. */
  get(key: readonly number[], make: () => T): T {
    const at = this.#entries.findIndex((entry) => same(entry.key, key));
    const entry = at < 0 ? { key: Float64Array.from(key), value: make() } : this.#entries[at]!;
    if (at >= 0) this.#entries.splice(at, 1);
    this.#entries.unshift(entry);
    if (this.#entries.length > this.#size) this.#entries.pop();
    return entry.value;
  }
}

function same(a: Float64Array, b: readonly number[]): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}
