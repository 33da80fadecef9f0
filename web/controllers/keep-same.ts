/**
 * Puts the earlier object in place of every new one that says the same, so that elements that were
 * given it see no change. Both are plain JSON.
 */
export function keepSame<K, V>(earlier: ReadonlyMap<K, V>, now: ReadonlyMap<K, V>): Map<K, V> {
  const kept = new Map<K, V>();
  for (const [key, value] of now) {
    const known = earlier.get(key);
    const same = known !== undefined && JSON.stringify(known) === JSON.stringify(value);
    kept.set(key, same ? known : value);
  }
  return kept;
}
