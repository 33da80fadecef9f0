/** A log smaller than this is not worth a snapshot. */
const SMALLEST_LOG_BYTES = 64 * 1024;

/**
 * The rule of compaction: a snapshot is written once the log behind the last one has outgrown both
 * 64 KB and half of that snapshot. So a document is read back from at most 1.5 times its size (or
 * 64 KB more), and the bytes written for snapshots stay within a fixed multiple of those appended.
 */
export function shouldCompact(logBytes: number, snapshotBytes: number): boolean {
  return logBytes > Math.max(SMALLEST_LOG_BYTES, snapshotBytes / 2);
}

/** A log smaller than this is read back in no time. */
const SMALLEST_LEFT_BYTES = 16 * 1024;

/**
 * The same for a document that everybody has left: then there is time to write, and whoever opens it next
 * waits for the reading. An update of the log takes several times as long to read as its part of a
 * snapshot, so an eighth of the snapshot is enough.
 */
export function shouldCompactLeft(logBytes: number, snapshotBytes: number): boolean {
  return logBytes > Math.max(SMALLEST_LEFT_BYTES, snapshotBytes / 8);
}
