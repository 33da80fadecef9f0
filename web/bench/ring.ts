import { nothing, svg } from 'lit';
import type { SegmentName } from '../../core/body/index.ts';
import type { Pin } from '../../core/document/index.ts';
import { pointOn } from '../../core/pose/index.ts';
import type { Eye } from './camera.ts';
import type { Held, Point, Posing } from './posing.ts';
import type { Shown } from './shown.ts';
import { turnAbout } from './turns.ts';
import { segmentWord } from './words.ts';

const RADIUS = 46;

/** What the ring needs of the elevation that it lies on. */
export interface RingHost {
  readonly shown: Shown;
  readonly eye: Eye;
  readonly posing: Posing;
  readonly selection: Pin | null;
  readonly held: Held | null;
  readonly mayPose: boolean;
  /** Figures that follow a clip. */
  readonly fixed: ReadonlySet<string>;
  /** Takes the pointer for a drag; gives its place on the drawing. */
  hold(event: PointerEvent): Point;
  moveHeld(event: PointerEvent): void;
  letGo(event: PointerEvent): void;
  giveUp(): void;
}

/** The ring round the selected joint, to be dragged round: it turns about the line of sight. */
export function ring(host: RingHost): unknown {
  const { selection, shown, eye } = host;
  if (!host.mayPose || selection?.kind !== 'joint') return nothing;
  const { figure, segment } = selection;
  const posed = shown.posed.get(figure);
  if (posed === undefined || host.fixed.has(figure)) return nothing;
  const { x, y } = eye.project(posed.segments[segment].position);
  const { end } = posed.body.segments[segment];
  const tip = eye.project(pointOn(posed, segment, end));
  const way = Math.hypot(tip.x - x, tip.y - y);
  const [dx, dy] = way < 1 ? [0, -1] : [(tip.x - x) / way, (tip.y - y) / way];
  return svg`<g class=${host.held?.id === 'ring' ? 'turning' : ''}>
    <circle class="ring-hold" cx=${x} cy=${y} r=${RADIUS}
      @pointerdown=${(event: PointerEvent) => onDown(host, event, figure, segment)}
      @pointermove=${(event: PointerEvent) => host.moveHeld(event)}
      @pointerup=${(event: PointerEvent) => host.letGo(event)}
      @pointercancel=${() => host.giveUp()}
      ><title>Drag round the ring to turn the ${segmentWord(segment)}</title></circle>
    <circle class="ring" cx=${x} cy=${y} r=${RADIUS} />
    <line class="ring-hand" x1=${x + dx * (RADIUS - 9)} y1=${y + dy * (RADIUS - 9)}
      x2=${x + dx * (RADIUS + 9)} y2=${y + dy * (RADIUS + 9)} />
  </g>`;
}

function onDown(host: RingHost, event: PointerEvent, figure: string, segment: SegmentName): void {
  const { eye, posing } = host;
  const start = posing.now();
  const posed = start.posed.get(figure);
  const owner = start.scene.figures.find(({ id }) => id === figure);
  if (posed === undefined || owner === undefined || event.button !== 0) return;
  event.stopPropagation();
  const at = host.hold(event);
  const centre = eye.project(posed.segments[segment].position);
  const angleAt = (x: number, y: number): number => Math.atan2(centre.y - y, x - centre.x);
  let last = angleAt(at.x, at.y);
  let turned = 0;
  posing.grabTurn(event, {
    id: 'ring',
    label: segmentWord(segment),
    at,
    patch: (x, y) => {
      // Whole turns add up: the angle is followed, not read off anew.
      const now = angleAt(x, y);
      turned += Math.atan2(Math.sin(now - last), Math.cos(now - last));
      last = now;
      return turnAbout(start, owner, segment, eye.towards, turned);
    },
  });
}
