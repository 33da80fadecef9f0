import type { Handle } from '../../core/balance/index.ts';
import { SEGMENTS, type SegmentName } from '../../core/body/index.ts';
import { type Pin, SIDES } from '../../core/document/index.ts';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import type { Picked } from './drawing/model-view.ts';
import { handleOf, type Movable } from './movables.ts';

/** Selections: pins as they go into presence and come out of it. */

/** The text that presence carries for a selected thing. */
export function selectionText(pin: Pin | null): string | null {
  switch (pin?.kind) {
    case 'joint':
      return `figure/${pin.figure}/${pin.segment}`;
    case 'segment':
      return `segment/${pin.figure}/${pin.segment}`;
    case 'load':
      return `load/${pin.load}`;
    case 'grip':
      return `grip/${pin.grip}`;
    case 'edge':
      return `edge/${pin.figure}/${pin.side}`;
    case 'plumb':
      return `plumb/${pin.figure}`;
    case 'contact':
      return `contact/${pin.contact}`;
    case 'reference':
      return `reference/${pin.view}/${pin.at.join('/')}`;
    default:
      return null;
  }
}

/** The pin that a presence text means; null for none and for what this page does not know. */
export function selectionPin(text: string | null): Pin | null {
  const [kind, id = '', part = '', more = ''] = text?.split('/') ?? [];
  const segment = SEGMENTS.find((name) => name === part);
  if (kind === 'figure' && segment !== undefined) return { kind: 'joint', figure: id, segment };
  if (kind === 'segment' && segment !== undefined) return { kind, figure: id, segment };
  if (kind === 'grip') return { kind, grip: id };
  const side = SIDES.find((name) => name === part);
  if (kind === 'edge' && side !== undefined) return { kind, figure: id, side };
  if (kind === 'load') return { kind: 'load', load: id };
  if (kind === 'plumb') return { kind: 'plumb', figure: id };
  if (kind === 'contact') return { kind: 'contact', contact: part === '' ? id : `${id}/${part}` };
  const at: Vec2 = [Number.parseFloat(part), Number.parseFloat(more)];
  if (kind === 'reference' && at.every(Number.isFinite)) return { kind, view: id, at };
  return null;
}

/** A pin on a point, to the millimetre. */
export const pointPin = (point: Vec3): Pin => {
  const mm = (metres: number): number => Math.round(metres * 1000) / 1000;
  return { kind: 'point', point: [mm(point[0]), mm(point[1]), mm(point[2])] };
};

/** The pin of something that can be moved; surfaces have none. */
export function pinOf(movable: Movable): Pin | null {
  if (movable.kind === 'part') {
    return { kind: 'joint', figure: movable.figure, segment: movable.part };
  }
  if (movable.kind === 'centre') return { kind: 'plumb', figure: movable.figure };
  return movable.kind === 'load' ? { kind: 'load', load: movable.load } : null;
}

/** The pin of what was pressed in the drawing. */
export function pickedPin(picked: Picked | null): Pin | null {
  if (picked?.kind === 'load') return { kind: 'load', load: picked.load };
  if (picked?.kind !== 'segment') return null;
  const segment = SEGMENTS.find((name) => name === picked.segment);
  return segment === undefined ? null : { kind: 'joint', figure: picked.figure, segment };
}

/** What is dragged by a part of the body that has no handle of its own: the joint at its far end. */
const DRAGGED_BY: Readonly<Partial<Record<SegmentName, Handle>>> = {
  abdomen: 'chest',
  upperArmL: 'forearmL',
  upperArmR: 'forearmR',
  forearmL: 'handL',
  forearmR: 'handR',
  thighL: 'shankL',
  thighR: 'shankR',
  shankL: 'footL',
  shankR: 'footR',
  toesL: 'footL',
  toesR: 'footR',
};

/** What a press on the drawing takes hold of. */
export function movableOf(picked: Picked | null): Movable | null {
  const pin = pickedPin(picked);
  if (pin?.kind === 'load') return { kind: 'load', load: pin.load };
  if (pin?.kind !== 'joint') return null;
  const part = DRAGGED_BY[pin.segment] ?? handleOf(pin.segment);
  return part === undefined ? null : { kind: 'part', figure: pin.figure, part };
}

/** How a handle is drawn: elbows and knees small, things as a square, the centre by its own mark. */
export function handleClass(movable: Movable): string {
  if (movable.kind === 'centre') return 'centre-hold';
  if (movable.kind === 'side') return 'side';
  if (movable.kind === 'extra') return '';
  if (movable.kind !== 'part') return 'solid';
  return /^(forearm|shank)/.test(movable.part) ? 'small' : '';
}
