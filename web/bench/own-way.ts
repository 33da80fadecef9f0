import type { Session } from '../session/index.ts';
import { goOnMyOwn } from '../together/going.ts';

/** Keys that only go from one control to the next, or point: no move of one's own. */
const STAYING_KEYS: ReadonlySet<string> = new Set([
  'Tab',
  'Shift',
  'Control',
  'Alt',
  'Meta',
  'p',
  'P',
]);

/**
 * Listeners that leave whom one goes with as soon as one takes hold of something. A finger that
 * scrolls the page takes hold of nothing. Heard before a handle keeps the event to itself.
 * @param isPointing a press that only points is no move
 */
export function ownWay(session: () => Session, isPointing: () => boolean) {
  const leave = (): void => goOnMyOwn(session());
  return {
    pointer: {
      capture: true,
      handleEvent: ({ type, pointerType, buttons }: PointerEvent): void => {
        if (isPointing()) return;
        const finger = type === 'pointerup' || (type === 'pointermove' && buttons > 0);
        if (pointerType === 'touch' ? finger : type === 'pointerdown') leave();
      },
    },
    key: {
      capture: true,
      handleEvent: ({ key }: KeyboardEvent): void => {
        if (!STAYING_KEYS.has(key)) leave();
      },
    },
    wheel: leave,
  };
}
