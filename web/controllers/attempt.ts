import { html, nothing, type ReactiveController, type ReactiveControllerHost } from 'lit';
import { faultWords } from './fault-words.ts';

/** Deeds of an element that may fail: what went wrong stands there until the next one. */
export class Attempt implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  #trouble = '';

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    this.#trouble = '';
  }

  async run(deed: () => Promise<void>): Promise<void> {
    this.say('');
    try {
      await deed();
    } catch (cause) {
      this.say(faultWords(cause));
    }
  }

  /** Says what stands in the way; an empty text takes it back. */
  say(trouble: string): void {
    this.#trouble = trouble;
    this.#host.requestUpdate();
  }

  render(): unknown {
    return this.#trouble === '' ? nothing : html`<p role="alert">${this.#trouble}</p>`;
  }
}
