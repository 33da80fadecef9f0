import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { type BodySpec, buildBody } from '../../../core/body/index.ts';
import { IDENTITY, rotate } from '../../../core/geometry/index.ts';
import { lowestPoint, poseFigure } from '../../../core/pose/index.ts';
import {
  frictionPair,
  loadsOn,
  type MadePose,
  poseAt,
  type Scene,
  type Spot,
  START_POSES,
  spotOf,
  surfacesAt,
} from '../../../core/scene/index.ts';
import { FLOOR, figure, scene, standing } from '../balance/scenes.ts';

/** A woman, a tall man, a child, and a drawn figure with a large head and short legs. */
const BODIES: readonly BodySpec[] = [
  { table: 'deleva-female', stature: 1.68, mass: 62 },
  { table: 'deleva-male', stature: 1.88, mass: 92 },
  { table: 'deleva-male', stature: 1.2, mass: 24 },
  {
    table: 'deleva-female',
    stature: 1.5,
    mass: 50,
    overrides: {
      head: { length: 1.25, girth: 1.3, mass: 1.5 },
      thighL: { length: 0.9 },
      thighR: { length: 0.9 },
    },
  },
];

const HERE: Spot = { ground: [0, 0, 0], heading: IDENTITY };

function sceneOf(spec: BodySpec, made: MadePose, spot: Spot): Scene {
  let count = 0;
  const id = (): string => `thing-${++count}`;
  return scene({
    figures: [figure('her', poseAt(made, spot), { body: spec, contacts: made.contacts })],
    loads: loadsOn(made, 'her', id),
    surfaces: [FLOOR, ...surfacesAt(made, spot, id)],
  });
}

const verdictOf = (of: Scene): string =>
  assess(of).groups.find(({ members }) => members.includes('her'))!.verdict;

describe('start poses', () => {
  it('are at least 24, each with a name of its own', () => {
    expect(START_POSES.length).toBeGreaterThanOrEqual(24);
    expect(new Set(START_POSES.map(({ id }) => id)).size).toBe(START_POSES.length);
    expect(new Set(START_POSES.map(({ name }) => name)).size).toBe(START_POSES.length);
  });

  // Common practice, no source: what such a pose does is known to anyone who has stood in it. The
  // verdict is that of the balance core, which is checked elsewhere.
  it.each(START_POSES.map((pose) => [pose.id, pose] as const))(
    '%s: on every body what it says, with what it needs',
    (_, pose) => {
      for (const spec of BODIES) {
        const body = buildBody(spec);
        const made = pose.make(body);
        const of = sceneOf(spec, made, HERE);
        expect(verdictOf(of), `stature ${spec.stature}`).toBe(pose.verdict);
        // Nothing is under the floor by more than flesh gives way.
        expect(lowestPoint(poseFigure(body, made.pose))).toBeGreaterThan(-0.03);
        for (const turn of Object.values(made.pose.joints))
          expect(Math.hypot(...turn)).toBeCloseTo(1, 9);
      }
    },
  );

  it('make the same pose every time', () => {
    const body = buildBody(BODIES[0]!);
    for (const pose of START_POSES)
      expect(JSON.stringify(pose.make(body))).toBe(JSON.stringify(pose.make(body)));
  });
});

describe('a pose at a spot', () => {
  it('keeps the place, the heading and the height of a figure that stands somewhere', () => {
    const spec = BODIES[0]!;
    const body = buildBody(spec);
    const turn = [0, Math.SQRT1_2, 0, Math.SQRT1_2] as const;
    const before = standing(spec);
    const [x, y, z] = before.position;
    const there = { ...before, position: [x + 2, y + 0.3, z - 1] as const, rotation: turn };
    const spot = spotOf(body, there, 0.3);
    const crouch = START_POSES.find(({ id }) => id === 'crouch')!.make(body);
    const pose = poseAt(crouch, spot);
    expect(rotate(spot.heading, [0, 0, 1])[0]).toBeCloseTo(1, 9);
    const { footL, footR } = poseFigure(body, there).segments;
    expect(spot.ground[0]).toBeCloseTo((footL.position[0] + footR.position[0]) / 2, 9);
    expect(lowestPoint(poseFigure(body, pose))).toBeCloseTo(0.3, 2);
    const facesX = rotate(pose.rotation, [0, 0, 1]);
    expect(facesX[0]).toBeGreaterThan(0.5);
  });

  it('what it needs says which pair of materials its friction is from', () => {
    const made = START_POSES.find(({ id }) => id === 'sit')!.make(buildBody(BODIES[0]!));
    const [chair] = surfacesAt(made, HERE, () => 'chair');
    expect(chair?.friction).toBe(frictionPair(chair?.pair)?.friction);
  });

  it('verdicts do not depend on where it is: sitting, turned and moved, with its chair', () => {
    const spec = BODIES[1]!;
    const made = START_POSES.find(({ id }) => id === 'sit')!.make(buildBody(spec));
    const spot: Spot = { ground: [3, 0, 1], heading: [0, 0.6, 0, 0.8] };
    expect(verdictOf(sceneOf(spec, made, spot))).toBe('holds');
  });
});
