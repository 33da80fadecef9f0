import { css, nothing, svg, type TemplateResult } from 'lit';
import type { Vec2 } from '../../core/geometry/index.ts';
import type { MotionFrame } from './protocol.ts';

/** Ways over the floor while a shot moves, and where they are at the frame shown. */
export interface Paths {
  readonly centre: readonly (Vec2 | null)[];
  readonly extrapolated: readonly (Vec2 | null)[];
  readonly pressure: readonly (Vec2 | null)[];
  /** Index in each of the frame shown. */
  readonly at: number;
}

/** Seconds before and after the frame shown of which the ways are drawn. */
const AROUND = 1.5;
/** Points of one way at most. */
const MOST = 240;

/** The ways about a frame. */
export function pathsAbout(
  frames: readonly (MotionFrame | null)[],
  frame: number,
  rate: number,
): Paths {
  const reach = Math.round(AROUND * rate);
  const from = Math.max(0, frame - reach);
  const to = Math.min(frames.length - 1, frame + reach);
  const step = Math.max(1, Math.ceil((to - from) / MOST));
  // The frame shown is always among them.
  const shown: (MotionFrame | null)[] = [];
  let at = 0;
  for (let i = from + ((frame - from) % step); i <= to; i += step) {
    if (i === frame) at = shown.length;
    shown.push(frames[i] ?? null);
  }
  return {
    centre: shown.map((one) => (one?.centre ? [one.centre[0], one.centre[2]] : null)),
    extrapolated: shown.map((one) => one?.extrapolated ?? null),
    pressure: shown.map((one) => one?.pressure ?? null),
    at,
  };
}

interface PagePoint {
  readonly x: number;
  readonly y: number;
}

/** The ways as lines: centre full, extrapolated centre dashed, pressure dotted; a mark where each is. */
export function pathLines(paths: Paths, place: (point: Vec2) => PagePoint): TemplateResult {
  const line = (points: readonly (Vec2 | null)[], name: string): TemplateResult => {
    const here = points[paths.at] ?? null;
    const mark = here === null ? null : place(here);
    return svg`<path class="way ${name}" d=${pathOf(points, place)} />
      ${mark === null ? nothing : svg`<circle class="way-mark ${name}" cx=${mark.x} cy=${mark.y} r="4"><title>${WORDS[name]}</title></circle>`}`;
  };
  return svg`<g class="ways" aria-hidden="true">
    ${line(paths.pressure, 'pressure')} ${line(paths.centre, 'centre')} ${line(paths.extrapolated, 'extrapolated')}
  </g>`;
}

const WORDS: Readonly<Record<string, string>> = {
  centre: 'centre',
  extrapolated: 'extrapolated centre',
  pressure: 'centre of pressure',
};

function pathOf(points: readonly (Vec2 | null)[], place: (point: Vec2) => PagePoint): string {
  let pen = 'M';
  return points
    .map((point) => {
      if (point === null) {
        pen = 'M';
        return '';
      }
      const { x, y } = place(point);
      const drawn = `${pen}${x.toFixed(1)},${y.toFixed(1)}`;
      pen = 'L';
      return drawn;
    })
    .join('');
}

export const pathStyles = css`
  .way {
    fill: none;
    stroke-width: 1.5;
  }
  .way.centre {
    stroke: var(--ink);
  }
  .way.extrapolated {
    stroke: var(--carried);
    stroke-dasharray: 6 3;
  }
  .way.pressure {
    stroke: var(--teeters);
    stroke-dasharray: 1.5 3;
  }
  .way-mark {
    fill: var(--paper);
    stroke-width: 2;
  }
  .way-mark.centre {
    stroke: var(--ink);
  }
  .way-mark.extrapolated {
    stroke: var(--carried);
  }
  .way-mark.pressure {
    stroke: var(--teeters);
  }
`;
