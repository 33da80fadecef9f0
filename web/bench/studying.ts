import type { ReactiveControllerHost } from 'lit';
import type { StudyOptions } from '../../core/balance/index.ts';
import { type ForceArrow, forceArrows } from '../../core/drawing/index.ts';
import type { LiveDraft } from '../session/index.ts';
import { askStudy, NO_STUDY, StudyLine, type StudyState } from '../study/index.ts';
import type { Lit } from './readings-rows.ts';

const FORCES = 'counterlean-forces';

/**
 * What statics says of what the bench shows, from the worker, once hands are still; and what a person
 * wants to see of it: forces, what is pointed at, the height of pushes.
 */
export class Studying {
  /** What is pointed at in the plan or in the leaf. */
  lit: Lit | null = null;
  /** Kept in this browser: another draft has another bench. */
  showsForces = localStorage.getItem(FORCES) === 'shown';
  readonly #host: ReactiveControllerHost;
  readonly #line: StudyLine;
  #live: LiveDraft | null = null;
  /** The same object as long as it says the same. */
  #options: StudyOptions = {};
  /** Above the lowest contact, metres; undefined: each one's chest. */
  #pushHeight: number | undefined;

  constructor(host: ReactiveControllerHost) {
    this.#host = host;
    this.#line = new StudyLine(askStudy, () => host.requestUpdate());
  }

  /** Says what is shown now. Nothing is studied while the answers are hidden. */
  look(live: LiveDraft): void {
    this.#live = live;
    if (live.hidden) {
      this.#line.close();
      return;
    }
    const rate = live.motion?.rate ?? live.timing.rate;
    if (rate !== this.#options.rate || this.#pushHeight !== this.#options.pushHeight)
      this.#options = { rate, pushHeight: this.#pushHeight };
    this.#line.look(live.scene, live.movers.length > 0, this.#options);
  }

  /** The study; none while the answers are hidden. */
  get state(): StudyState {
    return this.#live?.hidden === true ? NO_STUDY : this.#line.state;
  }

  /** The forces to be drawn: null where none are asked for, empty while they are not known. */
  get forces(): readonly ForceArrow[] | null {
    if (!this.showsForces) return null;
    const { study, scene } = this.state;
    if (study === null || scene !== this.#live?.scene) return [];
    return forceArrows(study, this.#live.report);
  }

  readonly toggleForces = (): void => {
    this.showsForces = !this.showsForces;
    localStorage.setItem(FORCES, this.showsForces ? 'shown' : 'hidden');
    this.#host.requestUpdate();
  };

  readonly light = (event: CustomEvent<Lit | null>): void => {
    this.lit = event.detail;
    this.#host.requestUpdate();
  };

  readonly pushAt = (event: CustomEvent<number>): void => {
    this.#pushHeight = event.detail;
    this.#host.requestUpdate();
  };

  /** Gives up what is under way. */
  close(): void {
    this.#line.close();
  }
}
