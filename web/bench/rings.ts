import { nothing, svg, type TemplateResult } from 'lit';
import type { SegmentName } from '../../core/body/index.ts';
import type { Pin } from '../../core/document/index.ts';
import { IDENTITY, rotate, type Vec2 } from '../../core/geometry/index.ts';
import { angleAxis, type PosedFigure } from '../../core/pose/index.ts';
import type { Figure } from '../../core/scene/index.ts';
import type { Eye } from './camera.ts';
import type { Held, Posing } from './posing.ts';
import { CIRCLE, type PageRing, pageRing, ringTurn } from './ring-turn.ts';
import type { Point } from './sheet.ts';
import type { Shown } from './shown.ts';
import { angleWord, type FreeAngle, freeAngles, setAngle, turnAt } from './turns.ts';
import { segmentWord } from './words.ts';

/** CSS pixels. Each angle has its own, so that rings seen on edge do not lie on each other's ends. */
const RADII = { flexion: 52, abduction: 44, rotation: 36 } as const;

/** What the rings need of the elevation that they lie on. */
export interface RingHost {
  readonly shown: Shown;
  readonly eye: Eye;
  readonly posing: Posing;
  readonly selection: Pin | null;
  readonly held: Held | null;
  readonly mayPose: boolean;
  /** Figures that follow a clip. */
  readonly fixed: ReadonlySet<string>;
  /** Takes the pointer for a drag; gives its place on the drawing, null where it is no drag. */
  hold(event: PointerEvent): Point | null;
}

/** Rings round the selected joint, one for each angle in which it may turn, to be dragged round. */
export function rings(host: RingHost): unknown {
  const { selection, shown, eye } = host;
  if (!host.mayPose || selection?.kind !== 'joint') return nothing;
  const { figure: id, segment } = selection;
  const posed = shown.posed.get(id);
  const figure = shown.scene.figures.find((one) => one.id === id);
  if (posed === undefined || figure === undefined || host.fixed.has(id)) return nothing;
  const drawn = freeAngles(figure, segment).map((angle) => ({
    angle,
    ring: ringOf(eye, figure, posed, segment, angle.name),
  }));
  // On edge a ring is a line over the others, so it lies above them.
  drawn.sort((a, b) => Math.abs(b.ring.seen) - Math.abs(a.ring.seen));
  const { x, y } = eye.project(posed.segments[segment].position);
  return svg`<g class="rings" transform="translate(${x} ${y})">${drawn.map(({ angle, ring }) =>
    oneRing(host, figure, segment, angle, ring),
  )}</g>`;
}

function oneRing(
  host: RingHost,
  figure: Figure,
  segment: SegmentName,
  angle: FreeAngle,
  ring: PageRing,
): TemplateResult {
  const radius = RADII[angle.name];
  const points = (angles: readonly number[]): string =>
    angles
      .map((each) => {
        const [x, y] = ring.at(each);
        return `${(x * radius).toFixed(1)},${(y * radius).toFixed(1)}`;
      })
      .join(' ');
  const word = angleWord(segment, angle.name);
  const [x, y] = highest(ring);
  const turning = host.held?.id === ringId(angle.name);
  return svg`<g class="one-ring ${turning ? 'turning' : ''}" data-ring=${angle.name}>
    <polygon class="ring-hold" points=${points(CIRCLE)}
      @pointerdown=${(event: PointerEvent) => onDown(host, event, figure.id, segment, angle.name)}
      ><title>Drag to turn the ${segmentWord(segment)}: ${word}</title></polygon>
    <polygon class="ring ${angle.name}" points=${points(CIRCLE)} />
    <text class="ring-word" x=${x * radius} y=${y * radius - 6}>${word}</text>
  </g>`;
}

const ringId = (name: FreeAngle['name']): string => `ring/${name}`;

function highest(ring: PageRing): Vec2 {
  return CIRCLE.map(ring.at).reduce((best, point) => (point[1] < best[1] ? point : best));
}

function ringOf(
  eye: Eye,
  figure: Figure,
  posed: PosedFigure,
  segment: SegmentName,
  name: FreeAngle['name'],
): PageRing {
  const { parent } = posed.body.segments[segment];
  const base = parent === null ? IDENTITY : posed.segments[parent].rotation;
  const axis = angleAxis(segment, turnAt(figure.pose, segment), name);
  return pageRing(rotate(base, axis), eye);
}

function onDown(
  host: RingHost,
  event: PointerEvent,
  id: string,
  segment: SegmentName,
  name: FreeAngle['name'],
): void {
  const { eye, posing } = host;
  const start = posing.now();
  const posed = start.posed.get(id);
  const figure = start.scene.figures.find((one) => one.id === id);
  if (posed === undefined || figure === undefined || event.button !== 0) return;
  const angle = freeAngles(figure, segment).find((each) => each.name === name);
  const at = host.hold(event);
  if (angle === undefined || at === null) return;
  const middle = eye.project(posed.segments[segment].position);
  const place = (x: number, y: number): Vec2 => [
    (x - middle.x) / RADII[name],
    (y - middle.y) / RADII[name],
  ];
  const turn = ringTurn(ringOf(eye, figure, posed, segment, name), place(at.x, at.y));
  posing.grabTurn(event, {
    id: ringId(name),
    label: `${segmentWord(segment)}: ${angleWord(segment, name)}`,
    at,
    patch: (x, y) => {
      const value = angle.value + turn(place(x, y));
      // The hips turn whole, round and round; a joint stops at the end of its range.
      const kept = segment === 'pelvis' ? value : Math.max(angle.from, Math.min(angle.to, value));
      return setAngle(figure, segment, name, kept);
    },
  });
}
