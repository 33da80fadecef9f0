import { describe, expect, it } from 'vitest';
import { assess, type BalanceReport } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import { compareScenes, movedBy } from '../../../core/compare/index.ts';
import { setJoint } from '../../../core/pose/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { bentScene } from '../../helpers/small-review.ts';

const DEGREE = Math.PI / 180;
const both = (scene: Scene): readonly [Scene, BalanceReport] => [scene, assess(scene)];

/** The scene with one joint of its figure turned about the body's left-right axis, radians. */
function bent(scene: Scene, segment: 'forearmL' | 'head', angle: number): Scene {
  const [figure] = scene.figures;
  if (figure === undefined) throw new Error('the scene holds a figure');
  const turn = [Math.sin(angle / 2), 0, 0, Math.cos(angle / 2)] as const;
  return { ...scene, figures: [{ ...figure, pose: setJoint(figure.pose, segment, turn) }] };
}

describe('two scenes held against each other', () => {
  it('that are the same differ in nothing', () => {
    const scene = both(bentScene(20));
    const found = compareScenes(scene, scene);
    expect(found).toMatchObject({
      matched: { figure: 'porter', foot: 'L' },
      shift: [0, 0, 0],
      joints: [],
      loads: [],
      onlyFirst: [],
      onlySecond: [],
    });
    expect(found.centre?.moved).toBe(0);
    expect(found.margin.before).toBe(found.margin.after);
  });

  it('lie on each other by the planted foot, wherever the second was put', () => {
    const scene = bentScene(20);
    const away = movedBy(scene, [1.5, 0, -0.7]);
    const { shift, joints, centre, plumb } = compareScenes(both(scene), both(away));
    expect(shift[0]).toBeCloseTo(-1.5, 12);
    expect(shift[2]).toBeCloseTo(0.7, 12);
    expect(joints).toEqual([]);
    expect(centre?.moved).toBeCloseTo(0, 9);
    expect(plumb?.after[0]).toBeCloseTo(plumb?.before[0] ?? Number.NaN, 9);
  });

  it('name the joint that turned with its angle, and what it carried along with its way', () => {
    const base = bent(bentScene(0), 'forearmL', 0);
    const turned = bent(base, 'forearmL', -90 * DEGREE);
    const { joints } = compareScenes(both(base), both(turned));
    expect(joints.map(({ segment }) => segment)).toEqual(['forearmL', 'handL']);
    const [elbow, wrist] = joints;
    expect(elbow?.turned).toBeCloseTo(90 * DEGREE, 9);
    expect(elbow?.moved).toBeCloseTo(0, 9);
    expect(wrist?.turned).toBeCloseTo(0, 9);
    // A quarter turn carries the wrist over the chord of its forearm: its length by the root of two.
    const length = Math.hypot(...forearmOf(base));
    expect(wrist?.moved).toBeCloseTo(length * Math.SQRT2, 6);
  });

  it('come with the same joints the other way round, and with margins exchanged', () => {
    const [a, b] = [both(bentScene(0)), both(bentScene(60))];
    const there = compareScenes(a, b);
    const back = compareScenes(b, a);
    expect(back.margin).toEqual({ before: there.margin.after, after: there.margin.before });
    expect(back.joints.map(({ segment }) => segment)).toEqual(
      there.joints.map(({ segment }) => segment),
    );
    expect(back.centre?.moved).toBeCloseTo(there.centre?.moved ?? Number.NaN, 9);
    expect(there.verdict?.before).toBe('holds');
  });

  it('tell what only one has, and a mass that changed', () => {
    const load = (mass: number | null) =>
      ({
        id: 'sack',
        name: 'Sack',
        shape: { kind: 'ball', radius: 0.2 },
        mass,
        place: { kind: 'held', figure: 'porter', hands: 'both', offset: [0, 0, 0.2] },
      }) as const;
    const scene = bentScene(0);
    const [light, heavy] = [12, 20].map((mass) => both({ ...scene, loads: [load(mass)] }));
    if (light === undefined || heavy === undefined) throw new Error('both were made');
    expect(compareScenes(both(scene), light).onlySecond).toEqual(['Sack']);
    expect(compareScenes(light, both(scene)).onlyFirst).toEqual(['Sack']);
    expect(compareScenes(light, heavy).loads).toMatchObject([{ name: 'Sack', mass: [12, 20] }]);
  });

  it('are compared as they stand where no foot carries weight in both', () => {
    const scene = bentScene(0);
    const { matched, shift } = compareScenes(both(scene), both(movedBy(scene, [0, 2, 0])));
    // The floor goes up with the figure, so it stands; without a floor it is in the air.
    expect(matched).not.toBeNull();
    const air = { ...scene, surfaces: [] };
    expect(compareScenes(both(scene), both(air)).matched).toBeNull();
    expect(shift[1]).toBeCloseTo(-2, 9);
  });
});

function forearmOf(scene: Scene): readonly number[] {
  const [figure] = scene.figures;
  if (figure === undefined) throw new Error('the scene holds a figure');
  return buildBody(figure.body).segments.forearmL.end;
}
