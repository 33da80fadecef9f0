import { describe, expect, it } from 'vitest';
import { distance } from '../../../core/geometry/index.ts';
import { type Carry, carryEntries } from '../../../web/bench/carrying.ts';
import { figure, MAN, moved, scene, standing } from '../../core/balance/scenes.ts';
import { withPatch } from '../../helpers/patched.ts';

const CHILD = { table: 'deleva-female', stature: 1.2, mass: 24 } as const;

/** A man and a child beside him, as entries put the child on him. */
function carried(how: Carry) {
  const man = figure('man', standing(MAN), { body: MAN });
  const child = figure('child', moved(standing(CHILD), [1, 0, 0]), { body: CHILD });
  return withPatch(scene({ figures: [man, child] }), carryEntries(man, child, how));
}

describe('one figure carries another', () => {
  it.each(['back', 'arms'] as const)('%s: off the floor, weighed as one', (how) => {
    const { report, posed } = carried(how);
    expect(report.groups).toHaveLength(1);
    expect(report.groups[0]!.mass).toBeCloseTo(MAN.mass + CHILD.mass, 9);
    expect(report.contacts.filter(({ owner }) => owner === 'child')).toEqual([]);
    // Both arms of the carrier go round the other body: no hand is left hanging.
    const [man, child] = [posed.get('man')!.segments, posed.get('child')!.segments];
    const body = Object.values(child).map(({ position }) => position);
    for (const hand of [man.handL, man.handR])
      expect(Math.min(...body.map((at) => distance(at, hand.position)))).toBeLessThan(0.3);
  });

  it('on the back behind the chest, in the arms before it', () => {
    for (const [how, side] of [
      ['back', -1],
      ['arms', 1],
    ] as const) {
      const { posed } = carried(how);
      const [man, child] = [posed.get('man')!, posed.get('child')!];
      expect((child.centre[2] - man.segments.chest.position[2]) * side, how).toBeGreaterThan(0.1);
    }
  });
});
