import { html, nothing, type TemplateResult } from 'lit';
import { repeat } from 'lit/directives/repeat.js';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import type { Looking } from './looking.ts';
import { type Movable, movableAt, movableId, movableLabel } from './movables.ts';
import { planSheet } from './plan-sheet.ts';
import type { Point, Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import { sidesOf } from './surface-sides.ts';

interface PlanHost {
  readonly shown: Shown;
  readonly posing: Posing;
  readonly looking: Looking;
  /** Where a floor point is on the plan. */
  readonly at: (point: Vec2) => Point;
  /** Where a pointer is on the plan. */
  readonly place: (event: PointerEvent) => Point;
}

/** The sides of the surface that is being sized, as far as they show from above. */
export function planSides(host: PlanHost): TemplateResult | typeof nothing {
  const { shown, posing, looking } = host;
  const middle = shown.scene.surfaces.find(({ id }) => id === posing.sized)?.position;
  if (posing.sized === null || middle === undefined) return nothing;
  const sides = sidesOf(posing.sized).flatMap((side): { side: Movable; at: Vec3 }[] => {
    const at = movableAt(shown, side);
    // The upper and the lower side lie over the middle.
    return at === null || Math.hypot(at[0] - middle[0], at[2] - middle[2]) < 1e-3
      ? []
      : [{ side, at }];
  });
  const sheet = planSheet(looking);
  return html`<div class="sides" role="group" aria-label="Sides to move">
    ${repeat(
      sides,
      ({ side }) => movableId(side),
      ({ side, at }) => {
        const { x, y } = host.at([at[0], at[2]]);
        return html`<button type="button" style="left:${x}px;top:${y}px" data-handle=${movableId(side)}
          aria-label="${movableLabel(shown, side)}: drag, or arrow keys"
          @pointerdown=${(event: PointerEvent) => {
            if (event.button !== 0) return;
            event.stopPropagation();
            (event.currentTarget as Element).setPointerCapture(event.pointerId);
            posing.grabMovable(event, side, sheet, host.place(event));
          }}
          @pointermove=${(event: PointerEvent) => posing.moveTo(event, host.place(event))}
          @pointerup=${(event: PointerEvent) => posing.release(event)}
          @pointercancel=${() => posing.cancel()}
          @keydown=${(event: KeyboardEvent) => {
            if (!posing.step(event, side, sheet)) return;
            event.preventDefault();
            event.stopPropagation();
          }}></button>`;
      },
    )}
  </div>`;
}
