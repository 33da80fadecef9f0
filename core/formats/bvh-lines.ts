/** What is wrong with a BVH file: where, what was expected, and the mend. */
export class BvhError extends Error {
  constructor(
    readonly line: number,
    fault: string,
    mend: string,
  ) {
    super(`Line ${line}: ${fault} ${mend}`);
  }
}

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;

/** No length, angle or count of a clip is larger; beyond it sums run out of numbers. */
const LARGEST = 1e9;

/** Walks the lines of a text, trimmed, empty ones left out; knows the number of the line it is on. */
export class LineReader {
  /** Number of the line last given, from 1. */
  line = 0;
  #at: number;

  constructor(private readonly text: string) {
    this.#at = text.charCodeAt(0) === 0xfeff ? 1 : 0; // byte order mark
  }

  /** Characters not read yet. */
  get left(): number {
    return this.text.length - this.#at;
  }

  /** The next line that is not empty, or null at the end of the text. */
  next(): string | null {
    while (this.#at < this.text.length) {
      let end = this.#at;
      while (end < this.text.length) {
        const code = this.text.charCodeAt(end);
        if (code === 10 || code === 13) break;
        end++;
      }
      const line = this.text.slice(this.#at, end).trim();
      const windows = this.text.charCodeAt(end) === 13 && this.text.charCodeAt(end + 1) === 10;
      this.#at = end + (windows ? 2 : 1);
      this.line++;
      if (line !== '') return line;
    }
    return null;
  }

  /** A number up to LARGEST as BVH writes it; anything else is an error on the present line. */
  number(word: string): number {
    const value = NUMBER.test(word) ? Number(word) : Number.NaN;
    if (Math.abs(value) <= LARGEST) return value;
    const mend = /^[+-]?\d+,\d+$/.test(word)
      ? 'Write the decimal mark as a point.'
      : 'Write a plain number such as -1.25 or 3e-4.';
    const shown = word.length > 40 ? `${word.slice(0, 40)}…` : word;
    throw new BvhError(this.line, `Expected a number, found "${shown}".`, mend);
  }
}
