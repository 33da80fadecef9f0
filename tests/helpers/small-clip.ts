/** A joint of the little skeleton: name, offset from its parent in centimetres, children. */
type Joint = readonly [
  name: string,
  offset: readonly [number, number, number],
  ...children: Joint[],
];

const leg = (side: 'Left' | 'Right', x: number): Joint => [
  `${side}UpLeg`,
  [x, 0, 0],
  [`${side}Leg`, [0, -42, 0], [`${side}Foot`, [0, -42, 0], [`${side}ToeBase`, [0, -6, 13]]]],
];

const arm = (side: 'Left' | 'Right', sign: 1 | -1): Joint => [
  `${side}Shoulder`,
  [sign * 3, 18, 0],
  [
    `${side}Arm`,
    [sign * 14, 0, 0],
    [`${side}ForeArm`, [sign * 28, 0, 0], [`${side}Hand`, [sign * 25, 0, 0]]],
  ],
];

const SKELETON: Joint = [
  'Hips',
  [0, 0, 0],
  [
    'Spine',
    [0, 10, 0],
    [
      'Spine1',
      [0, 20, 0],
      ['Neck', [0, 22, 0], ['Head', [0, 9, 0]]],
      arm('Left', 1),
      arm('Right', -1),
    ],
  ],
  leg('Left', 9),
  leg('Right', -9),
];

/**
 * A clip of our own in BVH: a figure with its arms out sideways (T pose) that bends its trunk a little
 * further in every frame. 30 frames a second.
 */
export function smallClip(frames: number): string {
  const lines = ['HIERARCHY'];
  let joints = 0;
  const write = ([name, offset, ...children]: Joint, depth: number): void => {
    const pad = '  '.repeat(depth);
    lines.push(`${pad}${depth === 0 ? 'ROOT' : 'JOINT'} ${name}`, `${pad}{`);
    lines.push(`${pad}  OFFSET ${offset.join(' ')}`);
    const place = depth === 0 ? 'Xposition Yposition Zposition ' : '';
    lines.push(`${pad}  CHANNELS ${depth === 0 ? 6 : 3} ${place}Zrotation Xrotation Yrotation`);
    joints += 1;
    for (const child of children) write(child, depth + 1);
    if (children.length === 0) {
      lines.push(
        `${pad}  End Site`,
        `${pad}  {`,
        `${pad}    OFFSET 0 ${name === 'Head' ? 18 : 0} 5`,
        `${pad}  }`,
      );
    }
    lines.push(`${pad}}`);
  };
  write(SKELETON, 0);
  lines.push('MOTION', `Frames: ${frames}`, 'Frame Time: 0.0333333');
  for (let frame = 0; frame < frames; frame++) {
    const turns = Array.from({ length: joints }, (_, joint) =>
      joint === 1 ? `0 ${frame * 2} 0` : '0 0 0',
    );
    lines.push(`0 92 0 ${turns.join(' ')}`);
  }
  return `${lines.join('\n')}\n`;
}
