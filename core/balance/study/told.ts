/** What one subject has to say: its data, or why it cannot tell. Each with one plain sentence. */
export type Told<T> = ({ readonly kind: 'told'; readonly sentence: string } & T) | CannotTell;

export interface CannotTell {
  readonly kind: 'cannot tell';
  /** "Cannot tell ...: " and the reason. */
  readonly sentence: string;
}

/** Smallest and largest value over all equilibria; null: without limit that way. */
export interface Band {
  readonly least: number | null;
  readonly most: number | null;
}
