import type { Author } from '../storage/update-store.ts';

/**
 * Client ids that one person may bring into one document within the life of a room. A window has one,
 * and one that was offline brings those of its earlier openings; a thousand is nobody's honest work.
 */
const MAX_PER_PERSON = 1000;

/**
 * Whose the client ids of one document are. An id is bound to the person who first brings a struct
 * under it, for good.
 */
export class Authors {
  readonly #bound: Map<number, string>;
  readonly #counts = new Map<string, number>();

  constructor(bound: ReadonlyMap<number, string>) {
    this.#bound = new Map(bound);
  }

  of(client: number): string | null {
    return this.#bound.get(client) ?? null;
  }

  /**
   * Why a person may not write under a client id; null if they may.
   * @param state how far the document knows that client
   * @param shown the person whose window has shown itself under the id, so that nobody takes it up
   * between a window's first sign of life and its first edit
   */
  refuses({ client, person }: Author, state: number, shown: string | null): string | null {
    const bound = this.#bound.get(client) ?? null;
    if ((bound ?? shown ?? person) !== person) return 'it is signed with somebody else’s name';
    // In the document, but nobody's: the server wrote it.
    if (bound === null && state > 0) return 'it is signed with the server’s name';
    return null;
  }

  /** Whether a person has brought more ids than anybody does. */
  isCrowded(person: string, more: number): boolean {
    return (this.#counts.get(person) ?? 0) + more > MAX_PER_PERSON;
  }

  /** Whether an id is bound to somebody else. */
  isAnothers({ client, person }: Author): boolean {
    return (this.of(client) ?? person) !== person;
  }

  /** Binds ids to people. */
  bind(authors: readonly Author[]): void {
    for (const { client, person } of authors) {
      if (this.#bound.has(client)) continue;
      this.#bound.set(client, person);
      this.#counts.set(person, (this.#counts.get(person) ?? 0) + 1);
    }
  }
}
