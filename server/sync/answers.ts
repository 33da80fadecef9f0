import type * as Y from 'yjs';
import { answerFrame, questionFrame } from './wire.ts';

interface Answer {
  readonly to: Uint8Array;
  readonly frame: Uint8Array;
}

/**
 * What is said to those who come to a document: after a restart hundreds come at once with the same
 * question. An answer holds as long as the document stays as it is, and no memory that is needed.
 */
export class Answers {
  readonly #doc: Y.Doc;
  #question: Uint8Array | null = null;
  #last: WeakRef<Answer> | null = null;

  constructor(doc: Y.Doc) {
    this.#doc = doc;
  }

  /** "This is what I have; send what I miss." */
  get question(): Uint8Array {
    this.#question ??= questionFrame(this.#doc);
    return this.#question;
  }

  /** What somebody with the given state vector misses. */
  to(stateVector: Uint8Array): Uint8Array {
    const last = this.#last?.deref();
    if (last !== undefined && Buffer.compare(last.to, stateVector) === 0) return last.frame;
    const answer = { to: stateVector.slice(), frame: answerFrame(this.#doc, stateVector) };
    this.#last = new WeakRef(answer);
    return answer.frame;
  }

  /** The document has changed. */
  forget(): void {
    this.#question = null;
    this.#last = null;
  }
}
