import type { Study, StudyOptions } from '../../core/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import { faultWords } from '../controllers/fault-words.ts';
import { after, type Later } from '../controllers/later.ts';

/** What is known of the study of what is shown. */
export interface StudyState {
  /** The last study that came; null before the first. */
  readonly study: Study | null;
  /** The scene that it is of: numbers may be drawn over that one only. */
  readonly scene: Scene | null;
  /** A newer study is on its way, or waits until the hand lets go. */
  readonly working: boolean;
  /** Why there is no study of this scene, as a sentence; null where nothing went wrong. */
  readonly fault: string | null;
}

export const NO_STUDY: StudyState = { study: null, scene: null, working: false, fault: null };

type AskFor = (scene: Scene, options: StudyOptions, signal: AbortSignal) => Promise<Study>;

/** How long a scene must have stayed as it is, milliseconds. */
const SETTLED_MS = 180;

/**
 * Keeps a study of the scene that is looked at. Asks when it has stayed the same for a moment and
 * nothing is dragged; a newer scene takes the place of one that is being studied. `changed` is called
 * after each new `state`.
 */
export class StudyLine {
  readonly #ask: AskFor;
  readonly #changed: () => void;
  readonly #later: Later;
  #state: StudyState = NO_STUDY;
  #scene: Scene | null = null;
  #options: StudyOptions = {};
  #moving = false;
  #wait: (() => void) | null = null;
  #asked: AbortController | null = null;

  constructor(ask: AskFor, changed: () => void, later: Later = after(SETTLED_MS)) {
    this.#ask = ask;
    this.#changed = changed;
    this.#later = later;
  }

  get state(): StudyState {
    return this.#state;
  }

  /**
   * Says what is looked at now; may be called as often as one likes.
   * @param moving something is being dragged: the study waits for its end
   * @param options compared by identity
   */
  look(scene: Scene, moving: boolean, options: StudyOptions = this.#options): void {
    const news = scene !== this.#scene || options !== this.#options;
    const letGo = this.#moving && !moving;
    this.#scene = scene;
    this.#options = options;
    this.#moving = moving;
    if (!news && !letGo) return;
    this.#stop();
    if (news) this.#set({ ...this.#state, working: true });
    if (!moving) this.#wait = this.#later(() => this.#start());
  }

  /** Gives up what is under way and forgets what is known; the next look begins anew. */
  close(): void {
    this.#stop();
    this.#scene = null;
    this.#state = NO_STUDY;
  }

  #stop(): void {
    this.#wait?.();
    this.#wait = null;
    this.#asked?.abort();
    this.#asked = null;
  }

  #start(): void {
    this.#wait = null;
    const scene = this.#scene;
    if (scene === null) return;
    const asked = new AbortController();
    this.#asked = asked;
    this.#ask(scene, this.#options, asked.signal).then(
      (study) => {
        if (!asked.signal.aborted) this.#set({ study, scene, working: false, fault: null });
      },
      (cause: unknown) => {
        if (asked.signal.aborted) return;
        const fault = faultWords(cause);
        this.#set({ study: null, scene, working: false, fault });
      },
    );
  }

  #set(state: StudyState): void {
    this.#state = state;
    this.#changed();
  }
}
