import { nothing, svg, type TemplateResult } from 'lit';
import {
  type BalanceReport,
  borderOf,
  type FigureReading,
  type GroupReading,
  type Reading,
} from '../../core/balance/index.ts';
import type { Vec2, Vec3 } from '../../core/geometry/index.ts';
import { verdictColour } from '../badge/words.ts';
import type { Eye } from './camera.ts';
import type { Offer } from './grip-offer.ts';
import { gripEndPoint } from './pins.ts';
import type { Shown } from './shown.ts';

/** The drawn lines of the elevation: support, contacts, plumb lines, centres, grips. */

/** Heights come in whole pixels; the sheet may be part of one higher. */
const ROUNDING = 1;

const at = (eye: Eye, point: Vec3): string => {
  const { x, y } = eye.project(point);
  return `${x.toFixed(1)},${y.toFixed(1)}`;
};

const outline = (eye: Eye, points: readonly Vec3[]): string =>
  points.map((point) => at(eye, point)).join(' ');

/** Height at which a support is drawn: that of its lowest contact, metres. */
export function supportHeight(report: BalanceReport, { support }: Reading): number {
  const heights = report.contacts
    .filter(({ id }) => support.contacts.includes(id))
    .flatMap((contact) => contact.outline.map((point) => point[1]));
  return heights.length === 0 ? 0 : Math.min(...heights);
}

const raise = (polygon: readonly Vec2[], y: number): Vec3[] => polygon.map(([x, z]) => [x, y, z]);

/** Colour of the verdict of the group that something belongs to. */
const colourOf = (report: BalanceReport, owner: string): string => {
  const group = report.groups.find(({ members }) => members.includes(owner));
  return verdictColour(group?.verdict ?? 'unknown');
};

/** Supports, their functional parts, and the touching areas in the colour of the verdict. */
export function supportLines({ report }: Shown, eye: Eye): TemplateResult[] {
  const supports = report.groups.map((group) => {
    if (group.support.kind === 'none') return svg``;
    const y = supportHeight(report, group);
    const colour = verdictColour(group.verdict);
    return svg`
      ${borderOf(group.support).map(
        (line) =>
          svg`<polyline class="support" style="stroke:${colour}" points=${outline(eye, raise(line, y))} />`,
      )}
      ${
        eye.lens !== null && group.support.unbounded !== true
          ? svg`<polygon class="functional" style="stroke:${colour}"
              points=${outline(eye, raise(group.support.functional, y))} />`
          : nothing
      }`;
  });
  const contacts = report.contacts.map(
    (contact) => svg`<polygon class="contact" style="--tint:${colourOf(report, contact.owner)}"
      points=${outline(eye, contact.outline)} />`,
  );
  return [...contacts, ...supports];
}

/**
 * The plumb line of a reading from its centre: to the bottom of the sheet in a true elevation, where
 * the plan takes it on, else to the floor. `minor` is a figure's own line beside its group's.
 */
export function plumbLine(
  { report }: Shown,
  reading: Reading,
  eye: Eye,
  height: number,
  minor: boolean,
): TemplateResult {
  const { centre, plumb } = reading;
  if (centre === null || plumb === null) return svg``;
  const top = eye.project(centre);
  const foot = eye.project([plumb[0], supportHeight(report, reading), plumb[1]]);
  const bottom = eye.lens !== null || minor ? foot : { x: top.x, y: height + ROUNDING };
  const colour = verdictColour(reading.verdict);
  return svg`
    <line class=${minor ? 'plumb minor' : 'plumb'} style="stroke:${colour}"
      x1=${top.x} y1=${top.y} x2=${bottom.x} y2=${bottom.y} />
    ${
      minor
        ? nothing
        : svg`<path class="foot" style="stroke:${colour}"
            d="M${foot.x - 6},${foot.y}h12M${foot.x},${foot.y - 6}v12" />`
    }`;
}

/** The quartered circle that stands for a mass centre in mechanics drawings. */
export function centreMark(reading: Reading, eye: Eye, radius: number): TemplateResult {
  if (reading.centre === null) return svg``;
  const { x, y } = eye.project(reading.centre);
  const r = radius;
  return svg`<g class="centre" transform="translate(${x} ${y})">
    <circle r=${r} />
    <path d="M0,0V${-r}A${r},${r} 0 0 1 ${r},0ZM0,0V${r}A${r},${r} 0 0 1 ${-r},0Z" />
  </g>`;
}

/** Grips as links: two rings joined by a bar; a grip that is let go shows its rings apart. */
export function gripLinks(shown: Shown, eye: Eye): TemplateResult[] {
  return shown.scene.grips.map((grip) => {
    const [a, b] = [gripEndPoint(shown, grip.a), gripEndPoint(shown, grip.b)];
    if (a === null || b === null) return svg``;
    const [p, q] = [eye.project(a), eye.project(b)];
    return svg`<g class=${grip.open ? 'grip open' : 'grip'}>
      <line x1=${p.x} y1=${p.y} x2=${q.x} y2=${q.y} />
      <circle cx=${p.x} cy=${p.y} r="5" /><circle cx=${q.x} cy=${q.y} r="5" />
    </g>`;
  });
}

/** Where a dragged hand takes hold when it is let go. */
export function gripOffer(offer: Offer | null, eye: Eye): TemplateResult | typeof nothing {
  if (offer === null) return nothing;
  const { x, y } = eye.project(offer.at);
  return svg`<g class="offer" data-offer=${offer.target.kind}>
    <circle cx=${x} cy=${y} r="16" /><circle cx=${x} cy=${y} r="4" />
  </g>`;
}

/**
 * Readings that get a line of their own: each group, and each figure where a group has several. A
 * load that lies by itself says nothing as long as it holds.
 */
export function lineReadings(report: BalanceReport): { reading: Reading; minor: boolean }[] {
  const figuresOf = (group: GroupReading): readonly FigureReading[] =>
    report.figures.filter((figure) => figure.group === group.id);
  const speaking = report.groups.filter(
    (group) => figuresOf(group).length > 0 || group.verdict !== 'holds',
  );
  const alone = speaking.map(figuresOf).filter((figures) => figures.length > 1);
  return [
    ...alone.flat().map((reading) => ({ reading, minor: true })),
    ...speaking.map((reading) => ({ reading, minor: false })),
  ];
}

/** The floor of a true elevation: a line with slanted strokes beneath, and grounded parts' shade. */
export function groundLines(
  { report }: Shown,
  eye: Eye,
  size: { readonly width: number; readonly height: number; readonly floor: boolean },
): TemplateResult {
  if (eye.lens !== null) return svg``;
  const { y } = eye.project([0, 0, 0]);
  const shades = report.contacts.map((contact) => {
    const xs = contact.outline.map((point) => eye.project(point).x);
    const ys = contact.outline.map((point) => eye.project(point).y);
    const [low, high] = [Math.min(...xs), Math.max(...xs)];
    return svg`<ellipse class="shade" cx=${(low + high) / 2} cy=${Math.max(...ys) + 1}
      rx=${(high - low) / 2 + 14} ry="7" fill="url(#shade)" />`;
  });
  return svg`
    <defs>
      <pattern id="ground" width="9" height="9" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <line x1="0" y1="0" x2="0" y2="9" class="hatch" />
      </pattern>
      <radialGradient id="shade">
        <stop offset="0" class="dark" /><stop offset="1" class="clear" />
      </radialGradient>
    </defs>
    ${
      size.floor
        ? svg`<rect x="0" y=${y} width=${size.width} height="9" fill="url(#ground)" />
          <line class="floor" x1="0" x2=${size.width} y1=${y} y2=${y} />`
        : nothing
    }
    ${shades}`;
}
