import type { Looking } from './looking.ts';
import type { Movable } from './movables.ts';
import { planSheet } from './plan-sheet.ts';
import type { Posing } from './posing.ts';
import type { Point } from './sheet.ts';

interface HoldHost extends Element {
  readonly looking: Looking;
  readonly posing: Posing;
}

/** What is dragged on the plan, or moved there by keys. */
export class PlanHold {
  readonly #host: HoldHost;
  /** Where the plan was on the page when something was taken hold of. */
  #box: DOMRect | null = null;

  constructor(host: HoldHost) {
    this.#host = host;
  }

  /**
   * A pointer's place on the plan, CSS pixels. In a drag only the pointer's own way counts: when
   * something above grows by a line and the plan goes down under the hand, nothing must jump.
   */
  place({ clientX, clientY }: PointerEvent): Point {
    const box = this.#box ?? this.#host.getBoundingClientRect();
    return { x: clientX - box.left, y: clientY - box.top };
  }

  take(event: PointerEvent, movable: Movable): void {
    if (event.button !== 0) return;
    event.stopPropagation();
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    this.#box = this.#host.getBoundingClientRect();
    const { posing, looking } = this.#host;
    posing.grabMovable(event, movable, planSheet(looking), this.place(event));
  }

  readonly move = (event: PointerEvent): void => {
    this.#host.posing.moveTo(event, this.place(event));
  };

  readonly letGo = (event: PointerEvent): void => {
    this.#box = null;
    this.#host.posing.release(event);
  };

  readonly giveUp = (): void => {
    this.#box = null;
    this.#host.posing.cancel();
  };

  key(event: KeyboardEvent, movable: Movable): void {
    const { posing, looking } = this.#host;
    if (!posing.step(event, movable, planSheet(looking))) return;
    event.preventDefault();
    event.stopPropagation();
  }
}
