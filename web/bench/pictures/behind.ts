import { html, nothing, type ReactiveController, type ReactiveControllerHost } from 'lit';
import { faultWords } from '../../controllers/fault-words.ts';
import { PICTURE_CAUTION } from '../../parts/caution.ts';
import { writesText } from '../../parts/text-entry.ts';
import type { LiveDraft } from '../../session/index.ts';
import type { Looking } from '../looking.ts';
import './line-up-marks.ts';
import { type PicturePlace, pictureAt } from './picture-place.ts';
import { pictureSheet } from './picture-sheet.ts';
import { type Pictures, picturesAmong, pictureViewOf } from './pictures.ts';

interface BehindHost extends ReactiveControllerHost {
  readonly live: LiveDraft;
  readonly looking: Looking;
}

/** The reference behind (or over) the elevation, and pictures that are dropped on it or pasted. */
export class Behind implements ReactiveController {
  readonly #host: BehindHost;
  readonly #pictures: Pictures;
  /** Where the picture lies while one of its marks is held. */
  #held: PicturePlace | null = null;

  constructor(host: BehindHost, pictures: Pictures) {
    this.#host = host;
    this.#pictures = pictures;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('paste', this.#paste);
  }

  hostDisconnected(): void {
    window.removeEventListener('paste', this.#paste);
  }

  render(mayEdit: boolean): unknown {
    const { looking } = this.#host;
    const pictures = this.#pictures;
    const picture = pictures.of(looking.view);
    if (picture === null || picture.hidden || !looking.ready) return nothing;
    const place = this.#held ?? pictureAt(picture, looking, looking.eye);
    const slot = pictures.over ? 'over' : 'under';
    const marks = html`<cl-line-up-marks slot="over" .pictures=${pictures} .picture=${picture}
      .looking=${looking} .eye=${looking.eye} @cl-held-picture=${this.#hold}></cl-line-up-marks>`;
    return html`${pictureSheet(picture, pictures.urlOf(picture), place, slot)}
      ${mayEdit && pictures.lining && !picture.locked ? marks : nothing}`;
  }

  readonly drop = (event: DragEvent): void => {
    event.preventDefault();
    this.#take(picturesAmong(event.dataTransfer?.files));
  };

  readonly #paste = (event: ClipboardEvent): void => {
    // What is pasted while one writes is meant for the text.
    if (writesText(event)) return;
    this.#take(picturesAmong(event.clipboardData?.files));
  };

  readonly #hold = (event: CustomEvent<PicturePlace | null>): void => {
    this.#held = event.detail;
    this.#host.requestUpdate();
  };

  /** Puts pictures behind the view that is shown; from the free view, in perspective. */
  #take(files: readonly File[]): void {
    const { live, looking } = this.#host;
    const { session } = live;
    if (files.length === 0 || !session.mayWrite('scenes') || live.sealed || live.called) return;
    const view = pictureViewOf(looking.view) ?? 'camera';
    session.say(`Keeping the picture. ${PICTURE_CAUTION}`);
    this.#pictures.put(files, view).then(
      () => {
        if (live === this.#host.live) looking.setView(view === 'camera' ? 'picture' : view);
      },
      (cause: unknown) => session.say(faultWords(cause)),
    );
  }
}
