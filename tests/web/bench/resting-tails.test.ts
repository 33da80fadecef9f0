import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { tipIn } from '../../../core/body/index.ts';
import { add, distance, type Vec3 } from '../../../core/geometry/index.ts';
import type { ContactSetting } from '../../../core/scene/index.ts';
import { hold } from '../../../web/bench/movables.ts';
import { type Shown, show } from '../../../web/bench/shown.ts';
import { creature } from '../../core/contact/creature.ts';
import { withPatch } from '../../helpers/patched.ts';

const shownOf = (setting: ContactSetting): Shown => {
  const made = creature(12, setting);
  return show(made, assess(made));
};
const tipOf = ({ posed }: Shown): Vec3 => {
  const { segments, body } = posed.get('a')!;
  return tipIn(segments, body.extras[0]!);
};
const HIPS = { kind: 'part', figure: 'a', part: 'pelvis' } as const;

/** What is shown after the hips were dragged by a way. */
function dragged(start: Shown, way: Vec3, tails: boolean): Shown {
  const held = hold(start, HIPS, { tails })!;
  return withPatch(start.scene, held.to(add(held.at, way)).patch);
}

describe('a tail that rests on the floor while the hips are dragged', () => {
  const ways: readonly Vec3[] = [
    [0, -0.05, 0],
    [0.04, 0, 0],
    [0, -0.03, -0.04],
  ];

  it.each(ways)('keeps its tip in its place (%d, %d, %d)', (...way) => {
    const start = shownOf('planted');
    expect(hold(start, HIPS, { tails: true })!.stays).toContain('tail tip');
    const after = dragged(start, way, true);
    expect(distance(tipOf(after), tipOf(start))).toBeLessThan(1e-3);
    expect(after.report.contacts.some(({ patch }) => patch === 'tailTip')).toBe(true);
    // Without the mend it goes along with the hips.
    expect(distance(tipOf(dragged(start, way, false)), tipOf(start))).toBeGreaterThan(0.01);
  });

  it('goes along where it is lifted', () => {
    const start = shownOf('lifted');
    expect(hold(start, HIPS, { tails: true })!.stays).not.toContain('tail tip');
    const after = dragged(start, [0, -0.05, 0], true);
    expect(distance(tipOf(after), tipOf(start))).toBeGreaterThan(0.01);
  });
});
