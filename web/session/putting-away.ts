import type { DocumentName } from '../../core/protocol/index.ts';

/**
 * Documents that the server refused and whose copy is being put away before the page opens afresh: each
 * once, however many refusals come, and afresh only after the last. What would be changed meanwhile
 * is in no copy, so nothing may be while it is `busy`.
 */
export class PuttingAway {
  readonly #begun = new Set<DocumentName>();
  #under = 0;

  get busy(): boolean {
    return this.#under > 0;
  }

  /** Puts a document away by `work`, unless that was begun before; true when it was the last one. */
  async once(document: DocumentName, work: () => Promise<void>): Promise<boolean> {
    if (this.#begun.has(document)) return false;
    this.#begun.add(document);
    this.#under += 1;
    try {
      await work();
    } finally {
      this.#under -= 1;
    }
    return !this.busy;
  }
}
