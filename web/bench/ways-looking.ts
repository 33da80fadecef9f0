import type { Way, WaysBack } from '../../core/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { faultWords } from '../controllers/fault-words.ts';
import { after, type Later } from '../controllers/later.ts';

/** How the search for ways back stands. `waiting`: something is being dragged. */
export type Phase = 'waiting' | 'looking' | 'stopped' | 'failed' | 'done';

type Ask = (
  scene: Scene,
  figure: string,
  options: { readonly onWay: (way: Way) => void; readonly signal: AbortSignal },
) => Promise<WaysBack>;

/** How long a scene must have stayed as it is, milliseconds. */
const SETTLED_MS = 250;

/**
 * Keeps looking for the ways back of what is shown: begins when the scene has stayed the same for a
 * moment, gives up when it changes, and tells of each way as it comes by `changed`.
 */
export class Looking {
  readonly #ask: Ask;
  readonly #changed: () => void;
  readonly #later: Later;
  #wanted: { readonly scene: Scene; readonly figure: string } | null = null;
  #asked: AbortController | null = null;
  #wait: (() => void) | null = null;
  /** The scene that the ways are of; null before the first search. */
  scene: Scene | null = null;
  phase: Phase = 'waiting';
  ways: readonly Way[] = [];
  result: WaysBack | null = null;
  fault = '';

  constructor(ask: Ask, changed: () => void, later: Later = after(SETTLED_MS)) {
    this.#ask = ask;
    this.#changed = changed;
    this.#later = later;
  }

  /** Says what is looked at; may be called as often as one likes. */
  look(scene: Scene, figure: string | null, moving: boolean): void {
    const same = this.#wanted?.scene === scene && this.#wanted.figure === figure;
    if (same && !moving) return;
    this.#giveUp();
    this.#wanted = null;
    this.phase = 'waiting';
    if (moving || figure === null) return;
    this.#wanted = { scene, figure };
    this.#wait = this.#later(() => this.again());
  }

  /** Gives up what is under way; ways that came stay. */
  stop(): void {
    const busy = this.#wait !== null || this.phase === 'looking';
    this.#giveUp();
    if (busy) this.phase = 'stopped';
    this.#changed();
  }

  /** Begins anew on what is looked at. */
  again(): void {
    this.#giveUp();
    if (this.#wanted === null) return;
    const { scene, figure } = this.#wanted;
    const asked = new AbortController();
    this.#asked = asked;
    this.scene = scene;
    this.ways = [];
    this.result = null;
    this.phase = 'looking';
    this.#changed();
    const onWay = (way: Way): void => {
      if (asked.signal.aborted) return;
      this.ways = [...this.ways, way];
      this.#changed();
    };
    this.#ask(scene, figure, { onWay, signal: asked.signal }).then(
      (result) => {
        if (!asked.signal.aborted) this.#end('done', result, '');
      },
      (cause: unknown) => {
        if (asked.signal.aborted) return;
        this.#end('failed', null, faultWords(cause));
      },
    );
  }

  #end(phase: Phase, result: WaysBack | null, fault: string): void {
    this.phase = phase;
    this.result = result;
    this.fault = fault;
    this.#changed();
  }

  #giveUp(): void {
    this.#wait?.();
    this.#wait = null;
    this.#asked?.abort();
    this.#asked = null;
  }
}
