import type { Note, Pin } from '../../core/document/index.ts';
import type { Vec3 } from '../../core/geometry/index.ts';
import { mainGroup, type Shown } from './shown.ts';

/** A note's flag on the drawing. */
export interface PinnedNote {
  readonly note: Note;
  /** Number that the notes panel gives it too. */
  readonly number: number;
  /** Where it points, in the world; null when its thing is not in the scene. */
  readonly at: Vec3 | null;
}

const middle = (points: readonly Vec3[]): Vec3 | null => {
  if (points.length === 0) return null;
  const sum = points.reduce<Vec3>((a, b) => [a[0] + b[0], a[1] + b[1], a[2] + b[2]], [0, 0, 0]);
  return [sum[0] / points.length, sum[1] / points.length, sum[2] / points.length];
};

/** Where a pin points now: pins follow their thing. Null for the whole shot and for lost things. */
export function pinPoint(shown: Shown, pin: Pin): Vec3 | null {
  const { posed, placed, report } = shown;
  switch (pin.kind) {
    case 'shot':
      return null;
    case 'point':
      return pin.point;
    case 'joint':
      return posed.get(pin.figure)?.segments[pin.segment].position ?? null;
    case 'load':
      return placed.get(pin.load)?.position ?? null;
    case 'contact': {
      const contact = report.contacts.find(({ id }) => id === pin.contact);
      return contact === undefined ? null : middle(contact.outline);
    }
    case 'plumb': {
      const own = report.figures.find(({ figure }) => figure === pin.figure);
      const group = report.groups.find(({ id }) => id === own?.group) ?? mainGroup(report);
      const centre = group?.centre ?? null;
      return centre === null ? null : [centre[0], centre[1] * 0.4, centre[2]];
    }
  }
}
