import { assess } from '../../core/balance/index.ts';
import { type BodySpec, buildBody } from '../../core/body/index.ts';
import { drawScene } from '../../core/drawing/index.ts';
import { IDENTITY } from '../../core/geometry/index.ts';
import {
  loadsOn,
  poseAt,
  type Scene,
  START_POSES,
  type StartPose,
  surfacesAt,
} from '../../core/scene/index.ts';

/** Small drawings of the start poses, made once, one at a time. */

const BODY: BodySpec = { table: 'deleva-female', stature: 1.7, mass: 64 };
const FACING = new Set(['standing', 'contrapposto', 'wide', 'one-foot', 'overhead', 'defence']);
export const TILE = { width: 76, height: 84 } as const;

const drawn = new Map<string, string>();

/** The drawing of a start pose as SVG text. */
export function startDrawing(start: StartPose): string {
  const known = drawn.get(start.id);
  if (known !== undefined) return known;
  const view = FACING.has(start.id) ? 'front' : 'side';
  const scene = startScene(start);
  const text = drawScene(scene, assess(scene), { view, ...TILE, labelSize: 9 });
  drawn.set(start.id, text);
  return text;
}

function startScene(start: StartPose): Scene {
  const made = start.make(buildBody(BODY));
  const here = { ground: [0, 0, 0], heading: IDENTITY } as const;
  let count = 0;
  const freshId = (): string => `need-${++count}`;
  const floor = { id: 'floor', name: 'Floor', kind: 'floor', position: [0, 0, 0] } as const;
  return {
    figures: [{ id: 'f', name: '', body: BODY, pose: poseAt(made, here), contacts: made.contacts }],
    loads: loadsOn(made, 'f', freshId),
    surfaces: [
      { ...floor, rotation: IDENTITY, size: null, friction: 0.8 },
      ...surfacesAt(made, here, freshId),
    ],
    grips: [],
  };
}

/** Draws what is not drawn yet, a few milliseconds at a time; `stop` gives it up. */
export function drawAll(progress: () => void): () => void {
  let timer: number | undefined;
  const next = (): void => {
    const missing = START_POSES.find(({ id }) => !drawn.has(id));
    if (missing === undefined) return;
    startDrawing(missing);
    progress();
    timer = window.setTimeout(next);
  };
  timer = window.setTimeout(next);
  return () => window.clearTimeout(timer);
}

export const isDrawn = (id: string): boolean => drawn.has(id);
