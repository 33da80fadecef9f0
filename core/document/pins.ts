import { type BalanceReport, type GroupReading, mainGroup } from '../balance/index.ts';
import { SEGMENTS, type SegmentName } from '../body/types.ts';
import type { Vec2, Vec3 } from '../geometry/types.ts';
import type { Scene } from '../scene/types.ts';
import { asNumber, asOneOf, asRecord, asText, asVec2, asVec3 } from './decode.ts';

/** Sides of a figure as it faces. */
export const SIDES = ['front', 'back', 'left', 'right'] as const;
export type Side = (typeof SIDES)[number];

/**
 * What a note is about. Pins on a thing follow the thing through frames and drafts; `point` stays
 * where it was put.
 */
export type Pin =
  | { readonly kind: 'shot' }
  /** The joint at which a segment begins. */
  | { readonly kind: 'joint'; readonly figure: string; readonly segment: SegmentName }
  /** A segment as a whole. */
  | { readonly kind: 'segment'; readonly figure: string; readonly segment: SegmentName }
  | { readonly kind: 'load'; readonly load: string }
  | { readonly kind: 'grip'; readonly grip: string }
  /** The plumb line of a figure. */
  | { readonly kind: 'plumb'; readonly figure: string }
  /** The edge of the support under a figure, on one side of it as it faces. */
  | { readonly kind: 'edge'; readonly figure: string; readonly side: Side }
  /** A contact by its id in the report, `figure/patch`. */
  | { readonly kind: 'contact'; readonly contact: string }
  /** A point of the reference picture behind a view, as fractions of it from its top left corner. */
  | { readonly kind: 'reference'; readonly view: string; readonly at: Vec2 }
  /** Frames of the shot as the shot counts them, both inclusive, `from` not above `to`. */
  | { readonly kind: 'frames'; readonly from: number; readonly to: number }
  | { readonly kind: 'point'; readonly point: Vec3 };

/** Reads a pin as it was stored; the whole shot where it makes no sense. */
export function readPin(value: unknown): Pin {
  const pin = asRecord(value);
  return pin === null ? { kind: 'shot' } : (readThing(pin) ?? readPlace(pin) ?? { kind: 'shot' });
}

type Fields = Readonly<Record<string, unknown>>;

function readThing(pin: Fields): Pin | null {
  const { kind } = pin;
  const figure = asText(pin.figure);
  const segment = asOneOf(pin.segment, SEGMENTS);
  const side = asOneOf(pin.side, SIDES);
  if ((kind === 'joint' || kind === 'segment') && figure && segment) {
    return { kind, figure, segment };
  }
  if (kind === 'plumb' && figure) return { kind, figure };
  if (kind === 'edge' && figure && side) return { kind, figure, side };
  const load = asText(pin.load);
  if (kind === 'load' && load) return { kind, load };
  const grip = asText(pin.grip);
  if (kind === 'grip' && grip) return { kind, grip };
  const contact = asText(pin.contact);
  if (kind === 'contact' && contact) return { kind, contact };
  return null;
}

function readPlace(pin: Fields): Pin | null {
  const { kind } = pin;
  const point = asVec3(pin.point);
  if (kind === 'point' && point) return { kind, point };
  const view = asText(pin.view);
  const at = asVec2(pin.at);
  if (kind === 'reference' && view && at) return { kind, view, at };
  const [from, to] = [asNumber(pin.from), asNumber(pin.to)];
  if (kind === 'frames' && from !== null && to !== null) {
    return { kind, from: Math.min(from, to), to: Math.max(from, to) };
  }
  return null;
}

/** The figures and loads that a pin is on; none for places, frames and the shot. */
export function pinnedThings(pin: Pin, scene: Scene): readonly string[] {
  switch (pin.kind) {
    case 'joint':
    case 'segment':
    case 'plumb':
    case 'edge':
      return [pin.figure];
    case 'load':
      return [pin.load];
    case 'contact':
      return [pin.contact.split('/')[0] ?? ''];
    case 'grip': {
      const grip = scene.grips.find(({ id }) => id === pin.grip);
      if (grip === undefined) return [];
      return [grip.a, grip.b].map((end) => (end.kind === 'figure' ? end.figure : end.load));
    }
    default:
      return [];
  }
}

/** The group that a pin is in, which its readings are read from; the main group for the shot. */
export function pinnedGroup(
  pin: Pin,
  scene: Scene,
  report: BalanceReport,
): GroupReading | undefined {
  const things = pinnedThings(pin, scene);
  return (
    report.groups.find(({ members }) => things.some((id) => members.includes(id))) ??
    mainGroup(report)
  );
}
