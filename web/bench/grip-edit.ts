import type { PatchName, SegmentName } from '../../core/body/index.ts';
import { contactKey, gripFields, gripKey } from '../../core/document/index.ts';
import { distance, type Vec3 } from '../../core/geometry/index.ts';
import type { ContactSetting, GripEnd, Scene, SurfaceKind } from '../../core/scene/index.ts';
import type { Patch } from './movables.ts';
import type { Shown } from './shown.ts';
import { nameOf, segmentWord } from './words.ts';

/**
 * What a hand can take hold of. A surface is held by the palm's own contact: closed round a bar or over an
 * edge it pulls too, flat on a wall or a floor it only pushes.
 */
export type GripTarget = GripEnd | { readonly kind: 'surface'; readonly surface: string };

/** A hand of a figure. */
export interface Hand {
  readonly figure: string;
  readonly segment: 'handL' | 'handR';
}

const palmOf = (segment: Hand['segment']): PatchName => (segment === 'handL' ? 'palmL' : 'palmR');

export function targetName(scene: Scene, target: GripTarget): string {
  if (target.kind === 'surface') return nameOf(scene, target.surface);
  if (target.kind === 'load') return nameOf(scene, target.load);
  return `${segmentWord(target.segment)} of ${nameOf(scene, target.figure)}`;
}

/** The id of a grip follows from its ends, so that two people who make the same one make one. */
function gripId(a: GripEnd, b: GripEnd): string {
  const text = (end: GripEnd): string =>
    end.kind === 'load' ? end.load : `${end.figure}-${end.segment}`;
  return [text(a), text(b)].sort().join('-');
}

/** The entries of a closed grip. */
export function gripEntries(a: GripEnd, b: GripEnd): Patch {
  const id = gripId(a, b);
  const fields = Object.entries(gripFields({ id, a, b, open: false }));
  return {
    [gripKey(id)]: 1,
    ...Object.fromEntries(fields.map(([field, value]) => [gripKey(id, field), value])),
  };
}

/** What a hand lies flat on. */
const FLAT: ReadonlySet<SurfaceKind> = new Set(['floor', 'wall', 'slope']);

/** The entries that make a hand hold something. */
export function holdEntries(
  { figure, segment }: Hand,
  target: GripTarget,
  { surfaces }: Scene,
): Patch {
  if (target.kind === 'surface') {
    const kind = surfaces.find(({ id }) => id === target.surface)?.kind;
    const setting = kind !== undefined && FLAT.has(kind) ? 'planted' : 'gripping';
    return { [contactKey(figure, palmOf(segment))]: setting };
  }
  return gripEntries({ kind: 'figure', figure, segment }, target);
}

/** A hand that rests on something, how, and on what; null: on nothing any more. */
interface RestingHand extends Hand {
  readonly how: ContactSetting;
  readonly on: string | null;
}

/** Hands that are planted on something or grip it: the grips that are no rows of their own. */
export function plantedPalms({ scene, report }: Shown): RestingHand[] {
  return scene.figures.flatMap(({ id, contacts }) =>
    (['handL', 'handR'] as const)
      .map((segment) => ({ segment, how: contacts[palmOf(segment)] ?? 'auto' }))
      .filter(({ how }) => how === 'planted' || how === 'gripping')
      .map(({ segment, how }) => ({
        ...{ figure: id, segment, how },
        on: report.contacts.find((one) => one.id === `${id}/${palmOf(segment)}`)?.surface ?? null,
      })),
  );
}

/** Opens a planted palm. */
export const letPalmGo = ({ figure, segment }: Hand): Patch => ({
  [contactKey(figure, palmOf(segment))]: undefined,
});

/** Parts of others that a hand takes hold of; fingers and toes are no separate ends. */
export const GRIP_PARTS: readonly SegmentName[] = [
  ...(['handL', 'handR', 'forearmL', 'forearmR', 'upperArmL', 'upperArmR'] as const),
  ...(['head', 'chest', 'abdomen', 'pelvis'] as const),
  ...(['thighL', 'thighR', 'shankL', 'shankR', 'footL', 'footR'] as const),
];

/** Whether a hand may hold a target: not itself, not its own arm, and only once. */
export function mayHold({ scene }: Shown, hand: Hand, target: GripTarget): boolean {
  if (target.kind === 'surface') return true;
  if (target.kind === 'figure') {
    const arm = hand.segment.endsWith('L') ? /(hand|forearm)L$/ : /(hand|forearm)R$/;
    if (target.figure === hand.figure && arm.test(target.segment)) return false;
  } else {
    const place = scene.loads.find(({ id }) => id === target.load)?.place;
    if (place?.kind === 'held' && place.figure === hand.figure) return false;
  }
  const id = gripId({ kind: 'figure', ...hand }, target);
  return !scene.grips.some((grip) => grip.id === id && !grip.open);
}

/** A palm nearer to something's middle than this in the world is offered it, metres. */
const NEAR = 0.12;

/** Another figure's hand near enough to a palm to be taken: hands are thin and hard to hit. */
export function handNear(shown: Shown, hand: Hand, at: Vec3): GripTarget | null {
  for (const [figure, posed] of shown.posed) {
    if (figure === hand.figure) continue;
    for (const segment of ['handL', 'handR'] as const) {
      if (distance(posed.segments[segment].position, at) < NEAR)
        return { kind: 'figure', figure, segment };
    }
  }
  return null;
}
