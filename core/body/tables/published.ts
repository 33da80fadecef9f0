/** One row of a published segment table, as printed: fractions 0..1, lengths in metres. */
export interface PublishedRow {
  /** Endpoints between which the row measures, by the paper's landmark names. */
  readonly from: string;
  readonly to: string;
  /** Share of the whole body's mass; one side of a segment that comes in pairs. */
  readonly mass: number;
  /** Mass centre from `from`, as a share of the length. */
  readonly centre: number;
  /** Mean length in the reference group, metres; null where the table gives none. */
  readonly length: number | null;
}

/** The ten kinds of segment that carry mass; limbs are one side. */
export const SEGMENT_KINDS = [
  'pelvis',
  'abdomen',
  'chest',
  'head',
  'upperArm',
  'forearm',
  'hand',
  'thigh',
  'shank',
  'foot',
] as const;
export type SegmentKind = (typeof SEGMENT_KINDS)[number];

/** Kinds that a body has two of. */
export const PAIRED_KINDS: readonly SegmentKind[] = [
  'upperArm',
  'forearm',
  'hand',
  'thigh',
  'shank',
  'foot',
];

export type PublishedTable = Readonly<Record<SegmentKind, PublishedRow>>;

/** Sum of the mass shares of a whole body: 1 where the printed column closes. */
export function massShareSum(table: PublishedTable): number {
  return SEGMENT_KINDS.reduce(
    (sum, kind) => sum + table[kind].mass * (PAIRED_KINDS.includes(kind) ? 2 : 1),
    0,
  );
}
