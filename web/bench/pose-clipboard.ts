import type { SegmentName } from '../../core/body/index.ts';
import { conjugate, multiply } from '../../core/geometry/index.ts';
import {
  limbOf,
  mirrorTurn,
  otherSide,
  type Pose,
  type PosePart,
  readPoseText,
  withPart,
} from '../../core/pose/index.ts';
import { facing, headingTurn } from '../../core/scene/index.ts';

/**
 * Poses over the clipboard, from shot to shot and from window to window; where the browser does not let
 * the page read or write it, within this page.
 */
let kept: string | null = null;

export async function copyPose(text: string): Promise<void> {
  kept = text;
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    // Not allowed here: what is kept in the page serves.
  }
}

/** The pose that was copied last; null where none was. */
export async function copiedPose(): Promise<PosePart | null> {
  const read = (text: string): PosePart | null => (text === '' ? null : readPoseText(text));
  try {
    return read(await navigator.clipboard.readText()) ?? read(kept ?? '');
  } catch {
    return read(kept ?? '');
  }
}

/** What was copied in this page, without asking the browser. */
export const keptPose = (): PosePart | null => (kept === null ? null : readPoseText(kept));

/**
 * A pose with a copied part: a whole one keeps where the figure faces; a limb goes to the chosen side,
 * mirrored where it comes from the other.
 */
export function pasted(pose: Pose, part: PosePart, segment: SegmentName): Pose {
  const { rotation } = part;
  if (rotation !== undefined) {
    const heading = (turn: Pose['rotation']) => headingTurn(facing(turn));
    const turn = multiply(heading(pose.rotation), conjugate(heading(rotation)));
    return { ...withPart(pose, part), rotation: multiply(turn, rotation) };
  }
  const names = Object.keys(part.joints) as (keyof PosePart['joints'])[];
  const chosen = limbOf(segment);
  const crossed = chosen !== null && names.every((name) => chosen.includes(otherName(name)));
  if (!crossed) return withPart(pose, part);
  const joints = names.map((name) => [otherName(name), mirrorTurn(part.joints[name]!)] as const);
  return withPart(pose, { joints: Object.fromEntries(joints) });
}

const otherName = (name: keyof PosePart['joints']) => otherSide(name) as keyof PosePart['joints'];
