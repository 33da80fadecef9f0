import { describe, expect, it } from 'vitest';
import {
  buildClip,
  bvhMotion,
  type ClipOptions,
  type JointCorrections,
  readBvh,
  readClip,
  readGltf,
  readGltfMotion,
} from '../../../core/formats/index.ts';
import { distance } from '../../../core/geometry/index.ts';
import { poseFigure } from '../../../core/pose/index.ts';
import { asGltf, stickGltf } from '../../helpers/gltf-files.ts';
import { smallClip } from '../../helpers/small-clip.ts';

const man: ClipOptions = { mass: 70, table: 'deleva-male' };
const text = smallClip(12);

function mapped(joints?: JointCorrections): Map<string, readonly [string, string]> {
  const read = readClip(text, joints === undefined ? man : { ...man, joints });
  if (!read.ok) throw new Error(read.message);
  const { mapping } = read.clip.report;
  return new Map(mapping.map(({ segment, joint, how }) => [segment, [joint, how]]));
}
const refusal = (joints: JointCorrections): string => {
  const read = readClip(text, { ...man, joints });
  return read.ok ? 'it was read' : read.message;
};

describe('joints set by hand', () => {
  it('take the place of what was found, and nothing else changes', () => {
    const found = mapped();
    const set = mapped({ head: 'Neck', toesR: null });
    expect(set.get('head')).toEqual(['Neck', 'hand']);
    expect(set.has('toesR')).toBe(false);
    for (const [segment, joint] of found)
      if (segment !== 'head' && segment !== 'toesR') expect(set.get(segment)).toEqual(joint);
    expect(mapped({})).toEqual(found);
  });

  it('swap the sides of a file that names them the wrong way round', () => {
    const sides = ['upperArm', 'forearm', 'hand', 'thigh', 'shank', 'foot', 'toes'] as const;
    const found = mapped();
    const swapped = Object.fromEntries(
      sides.flatMap((part) => [
        [`${part}L`, found.get(`${part}R`)?.[0] ?? null],
        [`${part}R`, found.get(`${part}L`)?.[0] ?? null],
      ]),
    ) as JointCorrections;
    const read = readClip(text, { ...man, joints: swapped });
    if (!read.ok) throw new Error(read.message);
    // Left and right change places, so the figure faces the other way: its left stays its left.
    const { segments } = poseFigure(read.clip.body, read.clip.poseAt(0));
    const plain = readClip(text, man);
    if (!plain.ok) throw new Error(plain.message);
    const before = poseFigure(plain.clip.body, plain.clip.poseAt(0)).segments;
    expect(distance(segments.shankL.position, before.shankR.position)).toBeLessThan(0.02);
  });

  it('make a figure of a skeleton in which no legs were found', () => {
    const joints: JointCorrections = {
      thighL: 'a2',
      shankL: 'a3',
      footL: 'a4',
      thighR: 'a5',
      shankR: 'a6',
      footR: 'a7',
    };
    // Both legs hang at the middle, so that neither name nor place tells them.
    let n = 0;
    const nameless = legsOnly().replace(
      /(ROOT|JOINT) \S+/g,
      (_, word: string) => `${word} a${n++}`,
    );
    const bvh = readBvh(nameless);
    if (!bvh.ok) throw new Error(bvh.message);
    const motion = bvhMotion(bvh.clip);
    expect(buildClip(motion, man)).toMatchObject({ ok: false });
    const built = buildClip(motion, { ...man, joints });
    if (!built.ok) throw new Error(built.message);
    expect(built.clip.report.mapping.find(({ segment }) => segment === 'pelvis')?.joint).toBe('a0');
  });

  it('work for glTF as well: read once, built again for every correction', async () => {
    const read = await readGltfMotion(asGltf(stickGltf()));
    if (!read.ok) throw new Error(read.message);
    const built = buildClip(read.motion, { ...man, joints: { head: null } }, read.remarks);
    if (!built.ok) throw new Error(built.message);
    expect(built.clip.report.mapping.some(({ segment }) => segment === 'head')).toBe(false);
    const direct = await readGltf(asGltf(stickGltf()), { ...man, joints: { head: null } });
    expect(direct.ok && direct.clip.report).toEqual(built.clip.report);
  });

  it.each<[JointCorrections, string]>([
    [{ head: 'Skull' }, 'The file has no joint "Skull" for head. Nothing was changed.'],
    [
      { shankL: null },
      'No joint is set for shankL: each leg needs its hip, knee and ankle. Nothing was changed.',
    ],
    [
      { handR: null },
      'Set all of upperArmR, forearmR and handR, or none of them. Nothing was changed.',
    ],
  ])('%j is told', (joints, message) => {
    expect(refusal(joints)).toBe(message);
  });
});

/** Two legs from one point, one joint a little before the other: no sides to tell by place. */
function legsOnly(): string {
  const leg = (z: number): string =>
    `JOINT leg {
      OFFSET 0 0 ${z}
      CHANNELS 3 Zrotation Xrotation Yrotation
      JOINT leg {
        OFFSET 0 -40 0
        CHANNELS 3 Zrotation Xrotation Yrotation
        JOINT leg {
          OFFSET 0 -40 0
          CHANNELS 3 Zrotation Xrotation Yrotation
          End Site {
            OFFSET 0 -5 10
          }
        }
      }
    }`;
  return `HIERARCHY
ROOT hips {
  OFFSET 0 0 0
  CHANNELS 6 Xposition Yposition Zposition Zrotation Xrotation Yrotation
  JOINT trunk {
    OFFSET 0 30 0
    CHANNELS 3 Zrotation Xrotation Yrotation
    End Site {
      OFFSET 0 20 0
    }
  }
  ${leg(8)}
  ${leg(-8)}
}
MOTION
Frames: 1
Frame Time: 0.04
0 90 0 ${'0 '.repeat(24).trim()}
`;
}
