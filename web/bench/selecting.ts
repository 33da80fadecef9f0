import { SEGMENTS } from '../../core/body/index.ts';
import type { Pin } from '../../core/document/index.ts';
import type { Picked } from './drawing/model-view.ts';
import type { Movable } from './movables.ts';

/** Selections: pins as they go into presence and come out of it. */

/** The text that presence carries for a selected thing. */
export function selectionText(pin: Pin | null): string | null {
  switch (pin?.kind) {
    case 'joint':
      return `figure/${pin.figure}/${pin.segment}`;
    case 'load':
      return `load/${pin.load}`;
    case 'plumb':
      return `plumb/${pin.figure}`;
    case 'contact':
      return `contact/${pin.contact}`;
    default:
      return null;
  }
}

/** The pin that a presence text means; null for none and for what this page does not know. */
export function selectionPin(text: string | null): Pin | null {
  const [kind, id = '', part = ''] = text?.split('/') ?? [];
  const segment = SEGMENTS.find((name) => name === part);
  if (kind === 'figure' && segment !== undefined) return { kind: 'joint', figure: id, segment };
  if (kind === 'load') return { kind: 'load', load: id };
  if (kind === 'plumb') return { kind: 'plumb', figure: id };
  if (kind === 'contact') return { kind: 'contact', contact: part === '' ? id : `${id}/${part}` };
  return null;
}

/** The pin of something that can be moved; surfaces have none. */
export function pinOf(movable: Movable): Pin | null {
  if (movable.kind === 'part') {
    return { kind: 'joint', figure: movable.figure, segment: movable.part };
  }
  return movable.kind === 'load' ? { kind: 'load', load: movable.load } : null;
}

/** The pin of what was pressed in the drawing. */
export function pickedPin(picked: Picked | null): Pin | null {
  if (picked?.kind === 'load') return { kind: 'load', load: picked.load };
  if (picked?.kind !== 'segment') return null;
  const segment = SEGMENTS.find((name) => name === picked.segment);
  return segment === undefined ? null : { kind: 'joint', figure: picked.figure, segment };
}
