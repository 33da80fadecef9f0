import { PATCHES, type PatchName, SEGMENTS } from '../body/types.ts';
import type { Pose } from '../pose/types.ts';
import { CONTACT_SETTINGS, type ContactSetting } from '../scene/types.ts';
import { asOneOf, asQuat, asVec3 } from './decode.ts';

/** A pose with what touches in it, as fields of a row: of a figure, or of a key of one. */
export interface StoredPose {
  readonly pose: Pose;
  readonly contacts: Readonly<Partial<Record<PatchName, ContactSetting>>>;
}

/** /position /rotation /joint.SEGMENT [x,y,z,w] /contact.PATCH setting */
export function poseFields({ pose, contacts }: StoredPose): Record<string, unknown> {
  const { position, rotation, joints } = pose;
  const turns = Object.entries(joints).map(([segment, turn]) => [`joint.${segment}`, turn]);
  const settings = Object.entries(contacts).map(([patch, how]) => [`contact.${patch}`, how]);
  return { position, rotation, ...Object.fromEntries([...turns, ...settings]) };
}

/** The pose in a row's fields; null without a usable place or rotation. */
export function readPoseFields(fields: ReadonlyMap<string, unknown>): StoredPose | null {
  const position = asVec3(fields.get('position'));
  const rotation = asQuat(fields.get('rotation'));
  if (position === null || rotation === null) return null;
  const joints: Record<string, unknown> = {};
  for (const segment of SEGMENTS) {
    const turn = asQuat(fields.get(`joint.${segment}`));
    if (turn !== null && segment !== 'pelvis') joints[segment] = turn;
  }
  const contacts: Partial<Record<PatchName, ContactSetting>> = {};
  for (const patch of PATCHES) {
    const setting = asOneOf(fields.get(`contact.${patch}`), CONTACT_SETTINGS);
    if (setting !== null) contacts[patch] = setting;
  }
  return { pose: { position, rotation, joints: joints as Pose['joints'] }, contacts };
}
