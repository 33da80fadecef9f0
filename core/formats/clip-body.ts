import { buildBody } from '../body/build-body.ts';
import type { Body, BodySpec, SegmentName, SegmentOverride, TableName } from '../body/types.ts';
import { distance } from '../geometry/vec3.ts';
import {
  type ClipLengths,
  type ClipRig,
  jointsAt,
  measureClip,
  median,
  sampleFrames,
  trunkAt,
} from './clip-frame.ts';

/** Head length factors that still look like a head; beyond them the stature gives way instead. */
const HEAD_RANGE = [0.7, 1.4] as const;

/**
 * Metres per file unit for a stature: the clip's legs (hip to ankle) and trunk (hips to shoulders) have
 * the share of the stature that the table gives them. The file's own height is no use: a clip's head
 * joint ends somewhere inside the head, and its ankle somewhere above the floor.
 */
export function scaleFor(lengths: ClipLengths, table: TableName, stature: number): number {
  const { clip, table: share } = comparedShares(lengths, table);
  return (stature * share) / clip;
}

/** The stature that goes with a scale: inverse of scaleFor. */
export function statureFor(lengths: ClipLengths, table: TableName, scale: number): number {
  const { clip, table: share } = comparedShares(lengths, table);
  return (scale * clip) / share;
}

function comparedShares(lengths: ClipLengths, table: TableName): { clip: number; table: number } {
  const { segments } = buildBody({ table, stature: 1, mass: 60 });
  const { thigh, shank, trunk } = lengths;
  const legs = (thigh.L + thigh.R + shank.L + shank.R) / 2;
  const legShare = -segments.shankL.offset[1] - segments.footL.offset[1];
  const trunkShare =
    segments.abdomen.offset[1] + segments.chest.offset[1] + segments.upperArmL.offset[1];
  return trunk === null
    ? { clip: legs, table: legShare }
    : { clip: legs + trunk, table: legShare + trunkShare };
}

/**
 * A body whose bones are as long as the clip's (each side for itself), so that its joints are where
 * the clip's are: thighs, shanks, arms, hip and shoulder width exactly; the trunk as a whole, its
 * abdomen at the median over the clip. Feet, hands and head follow the stature; the head takes what is
 * left of it. `rig.scale` must be set.
 */
export function clipBody(rig: ClipRig, table: TableName, stature: number, mass: number): Body {
  const lengths = measureClip(rig);
  let H = stature;
  // The second round knows how long the abdomen has to be; more would not change it.
  let body = buildBody(specFor(lengths, rig.scale, table, H, mass, null));
  for (let round = 0; round < 2; round++) {
    const abdomen = abdomenSpan(rig, body);
    const spec = specFor(lengths, rig.scale, table, H, mass, abdomen);
    body = buildBody(spec);
    H = spec.stature;
  }
  return body;
}

function abdomenSpan(rig: ClipRig, body: Body): number | null {
  const spans = sampleFrames(rig.motion, 40).flatMap((frame) => {
    const { abdomenJoint, chestJoint } = trunkAt(rig, body, jointsAt(rig, frame));
    return chestJoint ? [distance(abdomenJoint, chestJoint)] : [];
  });
  return spans.length === 0 ? null : median(spans);
}

function specFor(
  lengths: ClipLengths,
  scale: number,
  table: TableName,
  stature: number,
  mass: number,
  abdomen: number | null,
): BodySpec {
  let H = stature;
  for (let round = 0; ; round++) {
    const { segments: plain, hipHeight } = buildBody({ table, stature: H, mass });
    const bone = (name: SegmentName): number => Math.abs(plain[name].offset[1]);
    const factor = (units: number | null, metres: number): number =>
      units === null ? 1 : Math.min(20, Math.max(0.05, (units * scale) / metres));
    const trunkPlain = bone('abdomen') + bone('chest') + bone('upperArmL');
    const trunk = factor(lengths.trunk, trunkPlain);
    const overrides: Partial<Record<SegmentName, SegmentOverride>> = {
      pelvis: { length: trunk, width: factor(lengths.hipWidth, 2 * plain.thighL.offset[0]) },
      abdomen: {
        length: abdomen === null ? trunk : Math.min(20, Math.max(0.05, abdomen / bone('chest'))),
      },
      chest: {
        length: trunk,
        width: factor(lengths.shoulderWidth, 2 * plain.upperArmL.offset[0]),
      },
    };
    for (const side of ['L', 'R'] as const) {
      overrides[`thigh${side}`] = { length: factor(lengths.thigh[side], bone(`shank${side}`)) };
      overrides[`shank${side}`] = { length: factor(lengths.shank[side], bone(`foot${side}`)) };
      overrides[`upperArm${side}`] = {
        length: factor(lengths.upperArm[side], bone(`forearm${side}`)),
      };
      overrides[`forearm${side}`] = {
        length: factor(lengths.forearm[side], bone(`hand${side}`)),
      };
    }
    const len = (name: SegmentName): number => overrides[name]?.length ?? 1;
    const leg = (side: 'L' | 'R'): number =>
      len(`thigh${side}`) * bone(`shank${side}`) + len(`shank${side}`) * bone(`foot${side}`);
    const ankle = hipHeight - bone('shankL') - bone('footL');
    const toNeck =
      ankle +
      Math.max(leg('L'), leg('R')) +
      trunk * bone('abdomen') +
      len('abdomen') * bone('chest') +
      trunk * bone('head');
    // The head closes the height, so that buildBody has nothing left to scale.
    const wanted = (H - toNeck) / plain.head.end[1];
    const head = Math.min(HEAD_RANGE[1], Math.max(HEAD_RANGE[0], wanted));
    if (head === wanted || round === 30) {
      return { table, stature: H, mass, overrides: { ...overrides, head: { length: head } } };
    }
    H = Math.min(4, Math.max(0.3, toNeck + head * plain.head.end[1]));
  }
}
