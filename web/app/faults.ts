import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { faultWords } from '../controllers/fault-words.ts';

/**
 * The page's last resort: faults that nothing else has dealt with, as one line to show. A fault in
 * one element leaves the rest of the page alive.
 */
export class Faults implements ReactiveController {
  readonly #host: ReactiveControllerHost;
  current: string | null = null;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('error', this.#onError);
    window.addEventListener('unhandledrejection', this.#onRejection);
  }

  hostDisconnected(): void {
    window.removeEventListener('error', this.#onError);
    window.removeEventListener('unhandledrejection', this.#onRejection);
  }

  dismiss(): void {
    this.#show(null);
  }

  #show(message: string | null): void {
    this.current = message;
    this.#host.requestUpdate();
  }

  readonly #onError = (event: ErrorEvent): void => {
    // Browsers report a layout that needed a second pass as an error; nothing has gone wrong then.
    if (event.message.startsWith('ResizeObserver loop')) return;
    this.#show(event.message);
  };

  readonly #onRejection = (event: PromiseRejectionEvent): void => {
    this.#show(faultWords(event.reason));
  };
}
