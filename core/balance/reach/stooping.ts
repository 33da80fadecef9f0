import type { Vec2 } from '../../geometry/index.ts';
import type { PosedFigure } from '../../pose/index.ts';
import { movingCentreOf, type Situation } from '../ways-back/situation.ts';
import { aimAt, carryingOutline } from '../ways-back/target.ts';
import type { Handle } from './types.ts';

/** How far inside the part that carries the plumb line is kept, metres (design value, as for ways back). */
const INSET = 0.01;

/**
 * Where the plumb line shall be kept in a posed reach of the hands, plan, metres; null where it may go
 * where it goes.
 * @param height of the place that the hand is wanted at, world, metres
 */
export type Stoop = (posed: PosedFigure, height: number) => Vec2 | null;

/**
 * Who stands and reaches down for the floor balances without being asked: the hips go back as the trunk
 * comes forward (hip and ankle together keep the pressure in the support: Alexandrov, Frolov & Massion
 * 2001, forward trunk bending, doi 10.1007/PL00007986). Nothing but this holds the plumb line when a hand
 * is dragged, so a reach that bends the trunk would take it out over the toes. Wanted in full from the
 * knee down, growing from mid-thigh on, so that no pose jumps; a reach straight ahead is left as it is.
 *
 * Null for all but hands of a figure that holds on its feet alone: with partners, seats or rails what
 * carries changes with the reach itself.
 */
export function stoopOf(situation: Situation, parts: readonly Handle[]): Stoop | null {
  const { scene, group, contacts, posed, loads, moving } = situation;
  if (!parts.every((part) => part.startsWith('hand'))) return null;
  const together = scene.figures.filter(({ id }) => group.members.includes(id));
  if (group.verdict !== 'holds' || together.length > 1) return null;
  if (!contacts.every(({ patch }) => patch.startsWith('sole') || patch.startsWith('toes')))
    return null;
  const outline = carryingOutline(group.support);
  const heightOf = (joint: 'thigh' | 'shank'): number =>
    (posed.segments[`${joint}L`].position[1] + posed.segments[`${joint}R`].position[1]) / 2;
  const knee = heightOf('shank');
  const middle = (heightOf('thigh') + knee) / 2;
  return (reached, height) => {
    const share = Math.min(1, (middle - height) / Math.max(middle - knee, 0.01));
    if (share <= 0) return null;
    const plumb = movingCentreOf(reached, loads, moving);
    const aim = aimAt(plumb, outline, INSET);
    return aim === null || aim.point === plumb
      ? null
      : [
          plumb[0] + (aim.point[0] - plumb[0]) * share,
          plumb[1] + (aim.point[1] - plumb[1]) * share,
        ];
  };
}
