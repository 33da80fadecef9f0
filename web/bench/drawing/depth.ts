import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { ROOM_EVENT } from '../../styles/room.ts';
import type { Inks } from '../inks.ts';
import { type Hit, ModelView } from './model-view.ts';
import { readPalette } from './palette.ts';

/**
 * The model view on its canvas. Where the browser has no WebGL, and while its WebGL is lost, `missing`
 * says so and a line drawing has to stand in; what was lost is drawn again when the browser gives it back.
 */
export class Depth implements ReactiveController {
  readonly #host: ReactiveControllerHost & Element;
  #model: ModelView | null = null;
  /** Inks of the picture on the canvas; null: draw it anew. */
  #drawn: string | null = null;
  #watched = new AbortController();
  /** Why nothing is drawn in depth, as a sentence; empty where it is. */
  missing = '';

  constructor(host: ReactiveControllerHost & Element) {
    this.#host = host;
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener(ROOM_EVENT, this.#recolour);
  }

  hostDisconnected(): void {
    window.removeEventListener(ROOM_EVENT, this.#recolour);
    this.#drop();
  }

  /**
   * Draws on a canvas, unless neither what is shown changed nor its inks (other people's pointers come 30
   * times a second).
   * @param place brings the model up to what is shown
   */
  draw(
    canvas: HTMLCanvasElement,
    changed: boolean,
    { tints, outlines, key }: Inks,
    place: (model: ModelView) => void,
  ): void {
    if (this.#model !== null && !changed && key === this.#drawn) return;
    this.#drawn = key;
    try {
      this.#model ??= this.#begin(canvas);
    } catch {
      this.#without('This browser cannot draw in depth (WebGL is missing)');
      return;
    }
    place(this.#model);
    this.#model.tint(tints);
    this.#model.outline(outlines);
    this.#model.render();
  }

  /** What is drawn at (x, y) CSS pixels, looking through the figure `except`. */
  hit(x: number, y: number, except?: string): Hit | null {
    return this.#model?.hit(x, y, except) ?? null;
  }

  #begin(canvas: HTMLCanvasElement): ModelView {
    const model = new ModelView(canvas, readPalette(this.#host));
    this.#watched = new AbortController();
    const { signal } = this.#watched;
    const lost = (event: Event): void => {
      // Without this the browser would not give it back.
      event.preventDefault();
      this.#without('The drawing in depth was lost and comes back by itself');
    };
    const restored = (): void => {
      this.#drop();
      this.#without('');
    };
    canvas.addEventListener('webglcontextlost', lost, { signal });
    canvas.addEventListener('webglcontextrestored', restored, { signal });
    return model;
  }

  #without(why: string): void {
    this.missing = why === '' ? '' : `${why}, so this is a line drawing. `;
    this.#host.requestUpdate();
  }

  #drop(): void {
    this.#watched.abort();
    this.#model?.dispose();
    this.#model = null;
  }

  readonly #recolour = (): void => {
    this.#model?.recolour(readPalette(this.#host));
    this.#drawn = null;
    this.#host.requestUpdate();
  };
}
