/** A recorded walk (tests/fixtures/clips): two folders up is the project, from source and build alike. */
export const WALK = new URL('../../tests/fixtures/clips/cmu_02_01_walk.bvh', import.meta.url);

/** Where the rows of a BVH begin, and the rows. */
function rowsOf(text: string): { readonly start: number; readonly rows: readonly string[] } {
  const at = text.search(/^Frame Time:.*$/m);
  const start = text.indexOf('\n', at) + 1;
  return { start, rows: text.slice(start).trimEnd().split(/\r?\n/) };
}

/** The clip with its frames over and over until there are `count` of them. */
export function ofFrames(text: string, count: number): string {
  const { start, rows } = rowsOf(text);
  const head = text.slice(0, start).replace(/^Frames:.*$/m, `Frames: ${count}`);
  return head + Array.from({ length: count }, (_, i) => rows[i % rows.length]).join('\n');
}

/** The clip with its frames over and over until the file has about `size` characters. */
export function ofSize(text: string, size: number): string {
  const { start, rows } = rowsOf(text);
  const times = Math.ceil((size - start) / (text.length - start));
  return ofFrames(text, rows.length * times);
}
