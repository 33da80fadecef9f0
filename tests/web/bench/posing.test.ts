import { describe, expect, it } from 'vitest';
import { distance, type Vec3 } from '../../../core/geometry/index.ts';
import { anglesOf } from '../../../core/pose/index.ts';
import { newLoad } from '../../../web/bench/adding.ts';
import {
  hold,
  type Movable,
  movableAt,
  movablesOf,
  nextSetting,
} from '../../../web/bench/movables.ts';
import { extentOf, type Shown } from '../../../web/bench/shown.ts';
import { mirrorFigure, relaxJoint, setAngle } from '../../../web/bench/turns.ts';
import { withPatch } from '../../helpers/patched.ts';
import { bentScene } from '../../helpers/small-review.ts';

const DEGREE = Math.PI / 180;

const upright = (): Shown => withPatch(bentScene(0), {});
const HIPS = { kind: 'part', figure: 'porter', part: 'pelvis' } as const;

const placeOf = (shown: Shown, part: 'footL' | 'footR' | 'pelvis' | 'handL'): Vec3 =>
  movableAt(shown, { kind: 'part', figure: 'porter', part })!;

const move = (start: Shown, movable: Movable, target: Vec3) => hold(start, movable, {})!.to(target);

describe('moving parts of a figure', () => {
  it('keeps planted feet to a tenth of a millimetre while the hips go 10 cm ahead', () => {
    const start = upright();
    expect(hold(start, HIPS, {})?.stays).toEqual(['left foot', 'right foot']);
    const [x, y, z] = placeOf(start, 'pelvis');
    const { patch, reached } = move(start, HIPS, [x, y - 0.03, z + 0.1]);
    expect(reached).toBe(true);
    const end = withPatch(start.scene, patch);
    expect(distance(placeOf(end, 'pelvis'), [x, y - 0.03, z + 0.1])).toBeLessThan(1e-4);
    for (const foot of ['footL', 'footR'] as const) {
      expect(distance(placeOf(end, foot), placeOf(start, foot))).toBeLessThan(1e-4);
    }
  });

  it('changes nothing when the target is where the part already is: no jump at a grab', () => {
    const start = upright();
    for (const movable of movablesOf(start, new Set())) {
      const { patch } = move(start, movable, movableAt(start, movable)!);
      expect(Object.keys(patch), JSON.stringify(movable)).toEqual([]);
    }
  });

  it('leaves out figures that follow a clip', () => {
    expect(movablesOf(upright(), new Set(['porter']))).toEqual([]);
  });

  it('does not count the moved foot among those that stay', () => {
    const start = upright();
    const foot = { kind: 'part', figure: 'porter', part: 'footL' } as const;
    expect(hold(start, foot, {})?.stays).toEqual(['right foot']);
  });

  it('moves a held load by moving the hands that hold it', () => {
    const thing = newLoad(upright(), 'ball', 'ball', 'porter');
    if (thing.kind !== 'load') throw new TypeError('a ball is a load');
    const scene = { ...bentScene(0), loads: [thing.value] };
    const start = withPatch(scene, {});
    const movable = { kind: 'load', load: 'ball' } as const;
    const from = movableAt(start, movable)!;
    const target: Vec3 = [from[0], from[1] + 0.12, from[2] + 0.15];
    const { patch } = move(start, movable, target);
    const end = withPatch(scene, patch);
    expect(distance(movableAt(end, movable)!, target)).toBeLessThan(5e-4);
    expect(end.scene.loads[0]?.place).toEqual(thing.value.place);
  });
});

describe('turning joints', () => {
  it('sets one clinical angle and leaves the others', () => {
    const { scene } = upright();
    const patch = setAngle(scene.figures[0]!, 'thighL', 'flexion', 40 * DEGREE);
    const turn = withPatch(scene, patch).scene.figures[0]!.pose.joints.thighL!;
    expect(anglesOf('thighL', turn).flexion / DEGREE).toBeCloseTo(40, 6);
    expect(anglesOf('thighL', turn).abduction / DEGREE).toBeCloseTo(0, 6);
  });

  it('stops a knee at the end of its range', () => {
    const { scene } = upright();
    const patch = setAngle(scene.figures[0]!, 'shankL', 'flexion', -60 * DEGREE);
    const turn = withPatch(scene, patch).scene.figures[0]!.pose.joints.shankL ?? [0, 0, 0, 1];
    expect(anglesOf('shankL', turn).flexion / DEGREE).toBeGreaterThan(-15);
  });

  it('relaxes a joint, and mirrors a pose with its contact settings', () => {
    const { scene } = upright();
    const bent = withPatch(scene, setAngle(scene.figures[0]!, 'thighL', 'flexion', 40 * DEGREE));
    const lifted = withPatch(bent.scene, { 'figure/porter/contact.soleL': 'lifted' });
    const mirrored = withPatch(lifted.scene, mirrorFigure(lifted.scene.figures[0]!)).scene
      .figures[0]!;
    expect(anglesOf('thighR', mirrored.pose.joints.thighR!).flexion / DEGREE).toBeCloseTo(40, 6);
    expect(mirrored.contacts).toEqual({ soleR: 'lifted' });
    const relaxed = withPatch(bent.scene, relaxJoint(bent.scene.figures[0]!, 'thighL')).scene;
    expect(anglesOf('thighL', relaxed.figures[0]!.pose.joints.thighL!).flexion).toBeCloseTo(0, 9);
  });
});

describe('contacts and extents', () => {
  it('cycles a contact through planted and lifted back to auto', () => {
    let { scene } = upright();
    const settings = [0, 1, 2].map(() => {
      scene = withPatch(scene, nextSetting(scene.figures[0]!, 'soleL')).scene;
      return scene.figures[0]!.contacts.soleL ?? 'auto';
    });
    expect(settings).toEqual(['planted', 'lifted', 'auto']);
  });

  it('spans the whole figure', () => {
    const { min, max } = extentOf(upright());
    expect(min[1]).toBeLessThanOrEqual(0);
    expect(max[1]).toBeGreaterThan(1.74);
  });
});
