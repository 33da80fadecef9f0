/** Orders what happened: the oldest first, and what has no time before it; ids decide between what is alike. */
export function byTime(
  a: { readonly at: string | null; readonly id: string },
  b: { readonly at: string | null; readonly id: string },
): number {
  const [left, right] = [a.at ?? '', b.at ?? ''];
  return left < right ? -1 : left > right ? 1 : a.id < b.id ? -1 : 1;
}
