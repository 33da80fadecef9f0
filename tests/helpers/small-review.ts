import { buildBody } from '../../core/body/index.ts';
import { poseFromAngles } from '../../core/pose/index.ts';
import { floorSurface, type Scene } from '../../core/scene/index.ts';
import type { DemoReview, DemoShot } from '../../demo-data/types.ts';

/** A man on the floor whose trunk is tipped forwards about the hips, degrees; at 0 he stands upright. */
export function bentScene(degrees: number): Scene {
  const body = { table: 'deleva-male', stature: 1.75, mass: 70 } as const;
  const arms = { upperArm: { abduction: 5 } };
  const pose = poseFromAngles({ lean: 2, trunk: degrees, ...arms }, buildBody(body));
  return {
    figures: [{ id: 'porter', name: 'Porter', body, pose, contacts: {} }],
    loads: [],
    surfaces: [floorSurface()],
    grips: [],
  };
}

const shot = (code: string, title: string, sequence: string, degrees: number): DemoShot => ({
  code,
  title,
  sequence,
  rate: 24,
  frames: [1, 1],
  state: 'in-work',
  drafts: [{ title: 'first', scene: bentScene(degrees) }],
});

/** A review of our own for tests: two sequences, three shots, one note. */
export const SMALL_REVIEW: DemoReview = {
  title: 'Small review',
  sequences: [
    { id: 'ferry', title: 'At the ferry' },
    { id: 'market', title: 'On the market' },
  ],
  shots: [
    {
      ...shot('FER-0010', 'The rope', 'ferry', 0),
      drafts: [
        { title: 'upright', scene: bentScene(0) },
        {
          title: 'bent far over',
          scene: bentScene(80),
          notes: [
            {
              by: 'berta',
              pin: { kind: 'joint', figure: 'porter', segment: 'pelvis' },
              frame: null,
              text: 'The hips need to go back a hand.',
              weight: 'must',
              state: 'open',
              replies: [],
            },
          ],
        },
      ],
    },
    shot('FER-0020', 'The bow', 'ferry', 20),
    shot('MAR-0010', 'The crate', 'market', 10),
  ],
  people: [{ id: 'berta', name: 'Berta Quill', role: 'lead', ink: 1 }],
};

/** A shot that moves: the man bows from upright to far over within a second, keyed. */
export const BOWING: DemoShot = {
  ...shot('FER-0030', 'The deep bow', 'ferry', 0),
  frames: [1, 24],
  drafts: [
    {
      title: 'keyed',
      scene: bentScene(0),
      keys: [0, 80].map((degrees, i) => ({
        ...{ id: `bow-${i}`, figure: 'porter', frame: i * 23, contacts: {}, ease: 'linear' },
        pose: bentScene(degrees).figures[0]!.pose,
      })),
    },
  ],
};
