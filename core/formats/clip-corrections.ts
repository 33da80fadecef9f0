import type { SegmentName } from '../body/types.ts';
import type { ClipMapping, LimbJoints, MappedSegment } from './clip-mapping.ts';
import type { ClipJoint } from './clip-motion.ts';

/** Joints by segment as a person set them; null: no joint of the file moves it. */
export type JointCorrections = Readonly<Partial<Record<SegmentName, string | null>>>;

type Side = 'L' | 'R';
const ARM = { upperArm: 'upper', forearm: 'middle', hand: 'lower' } as const;
const LEG = { thigh: 'upper', shank: 'middle', foot: 'lower', toes: 'tip' } as const;

/** What every leg needs to be one. */
const NEEDED = ['thighL', 'shankL', 'footL', 'thighR', 'shankR', 'footR'] as const;

const NO_LIMB: LimbJoints = { upper: -1, middle: -1, lower: -1, tip: -1 };

/**
 * The mapping with what a person set in the place of what was found; without a found one the six leg
 * joints have to be set. A message instead for a joint that the file has not, a leg that stays without
 * one, or an arm of which only a part is there.
 */
export function correctMapping(
  joints: readonly ClipJoint[],
  found: ClipMapping | null,
  corrections: JointCorrections,
):
  | { readonly ok: true; readonly mapping: ClipMapping }
  | { readonly ok: false; readonly message: string } {
  const at = new Map<SegmentName, number>();
  for (const [segment, name] of Object.entries(corrections) as [SegmentName, string | null][]) {
    if (segment === 'abdomen') continue; // laid between pelvis and chest, whatever the file has there
    const index = name === null ? -1 : joints.findIndex((joint) => joint.name === name);
    if (name !== null && index < 0) {
      return {
        ok: false,
        message: `The file has no joint "${name.slice(0, 60)}" for ${segment}. Nothing was changed.`,
      };
    }
    at.set(segment, index);
  }
  const limb = (
    side: Side,
    slots: Readonly<Record<string, keyof LimbJoints>>,
    own: LimbJoints,
  ): LimbJoints => {
    const limb = { ...own };
    for (const [part, slot] of Object.entries(slots)) {
      limb[slot] = at.get(`${part}${side}` as SegmentName) ?? own[slot];
    }
    return limb;
  };
  const legs = {
    L: limb('L', LEG, found?.legs.L ?? NO_LIMB),
    R: limb('R', LEG, found?.legs.R ?? NO_LIMB),
  };
  for (const segment of NEEDED) {
    const side = segment.endsWith('L') ? 'L' : 'R';
    const slot = LEG[segment.slice(0, -1) as keyof typeof LEG];
    if (legs[side][slot] >= 0) continue;
    return {
      ok: false,
      message: `No joint is set for ${segment}: each leg needs its hip, knee and ankle. Nothing was changed.`,
    };
  }
  const arms = {
    L: limb('L', ARM, found?.arms.L ?? NO_LIMB),
    R: limb('R', ARM, found?.arms.R ?? NO_LIMB),
  };
  for (const side of ['L', 'R'] as const) {
    const { upper, middle, lower } = arms[side];
    const there = [upper, middle, lower].filter((joint) => joint >= 0).length;
    if (there === 0 || there === 3) continue;
    return {
      ok: false,
      message: `Set all of upperArm${side}, forearm${side} and hand${side}, or none of them. Nothing was changed.`,
    };
  }
  const common = commonJoint(joints, legs.L.upper, legs.R.upper);
  const pelvis = at.get('pelvis') ?? found?.pelvis ?? common;
  const mapping = {
    legs,
    arms,
    pelvis: pelvis < 0 ? common : pelvis,
    chest: at.get('chest') ?? found?.chest ?? pelvis,
    head: at.get('head') ?? found?.head ?? -1,
  };
  const chest = mapping.chest < 0 ? mapping.pelvis : mapping.chest;
  const told = toldAgain(joints, { ...mapping, chest }, found, at);
  return { ok: true, mapping: { ...mapping, chest, ...told } };
}

/** The last joint that both hang on; the first of all where they share none. */
function commonJoint(joints: readonly ClipJoint[], a: number, b: number): number {
  const above = new Set<number>();
  for (let i = a; i >= 0; i = joints[i]?.parent ?? -1) above.add(i);
  for (let i = b; i >= 0; i = joints[i]?.parent ?? -1) if (i !== b && above.has(i)) return i;
  return 0;
}

/** The list of what moves what, after corrections. */
function toldAgain(
  joints: readonly ClipJoint[],
  {
    legs,
    arms,
    pelvis,
    chest,
    head,
  }: Pick<ClipMapping, 'legs' | 'arms' | 'pelvis' | 'chest' | 'head'>,
  found: ClipMapping | null,
  set: ReadonlyMap<SegmentName, number>,
): Pick<ClipMapping, 'segments' | 'unused'> {
  const segments: MappedSegment[] = [];
  const before = new Map(found?.segments.map((one) => [one.segment, one]));
  const put = (segment: SegmentName, joint: number): void => {
    const name = joints[joint]?.name;
    if (name === undefined) return;
    const how = set.has(segment) ? 'hand' : (before.get(segment)?.how ?? 'place');
    segments.push({ segment, joint: name, how });
  };
  put('pelvis', pelvis);
  put('chest', chest);
  put('head', head);
  for (const side of ['L', 'R'] as const) {
    put(`upperArm${side}`, arms[side].upper);
    put(`forearm${side}`, arms[side].middle);
    put(`hand${side}`, arms[side].lower);
    put(`thigh${side}`, legs[side].upper);
    put(`shank${side}`, legs[side].middle);
    put(`foot${side}`, legs[side].lower);
    put(`toes${side}`, legs[side].tip);
  }
  const used = new Set(segments.map(({ joint }) => joint));
  return {
    segments,
    unused: joints.map(({ name }) => name).filter((name) => !used.has(name)),
  };
}
