import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import { type Movable, movableAt, movableId, movableLabel } from './movables.ts';
import type { PlanHold } from './plan-hold.ts';
import type { Point } from './sheet.ts';
import type { Shown } from './shown.ts';
import { sidesOf } from './surface-sides.ts';

interface PlanHost {
  readonly shown: Shown;
  /** The surface whose sides are moved; null: none's. */
  readonly sized: string | null;
  readonly hold: PlanHold;
  /** Where a floor point is on the plan. */
  readonly at: (point: Vec2) => Point;
}

/** The sides of the surface that is being sized, as far as they show from above. */
export function planSides(host: PlanHost): TemplateResult | typeof nothing {
  const { shown, sized, hold } = host;
  const middle = shown.scene.surfaces.find(({ id }) => id === sized)?.position;
  if (sized === null || middle === undefined) return nothing;
  const sides = sidesOf(sized).flatMap((side): { side: Movable; at: Vec3 }[] => {
    const at = movableAt(shown, side);
    // The upper and the lower side lie over the middle.
    return at === null || Math.hypot(at[0] - middle[0], at[2] - middle[2]) < 1e-3
      ? []
      : [{ side, at }];
  });
  return html`<div class="sides" role="group" aria-label="Sides to move">
    ${repeat(
      sides,
      ({ side }) => movableId(side),
      ({ side, at }) => {
        const { x, y } = host.at([at[0], at[2]]);
        return html`<button type="button" style="left:${x}px;top:${y}px" data-handle=${movableId(side)}
          aria-label="${movableLabel(shown, side)}: drag, or arrow keys"
          @pointerdown=${(event: PointerEvent) => hold.take(event, side)}
          @pointermove=${hold.move} @pointerup=${hold.letGo} @pointercancel=${hold.giveUp}
          @keydown=${(event: KeyboardEvent) => hold.key(event, side)}></button>`;
      },
    )}
  </div>`;
}
