import { borderOf } from '../balance/index.ts';
import type { BalanceReport, Margin, Reading } from '../balance/types.ts';
import type { Vec2 } from '../geometry/types.ts';
import { verdictInk } from './ink.ts';
import { inside } from './polygon.ts';
import type { Sheet } from './sheet.ts';
import { type Box, type PagePoint, type Projection, planPoint } from './view.ts';

const PLUMB_WIDTH = 2;
const CENTRE_RADIUS = 4.5;
const TICK = 4;
const ARROW = 22;
const ARROW_HEAD = 5;

/** The margin as it stands on the drawing: centimetres, a true minus sign outside the support. */
export function marginText(margin: Margin): string {
  const cm = Math.round(margin.distance * 1000) / 10;
  return `${cm < 0 ? '\u2212' : ''}${Math.abs(cm).toFixed(1)} cm`;
}

/**
 * Readings that get a plumb line: every group with a figure, and in a group of several figures each of
 * them alone (drawn thin), because they part where one holds the other. A load that stands by itself
 * is left out unless it would tip.
 */
export function plumbReadings(report: BalanceReport): { reading: Reading; alone: boolean }[] {
  return report.groups.flatMap((group) => {
    const members = report.figures.filter((figure) => figure.group === group.id);
    if (members.length === 0 && group.verdict === 'holds') return [];
    const single = members.length > 1 ? members : [];
    return [
      ...single.map((reading) => ({ reading: reading as Reading, alone: true })),
      { reading: group as Reading, alone: false },
    ];
  });
}

/**
 * The plumb line of an elevation, from the centre down to `bottom` (page y), with the centre as a dot.
 */
export function drawPlumbLine(
  sheet: Sheet,
  reading: Reading,
  alone: boolean,
  project: Projection,
  bottom: number,
): void {
  if (reading.centre === null) return;
  const [x, y] = project.at(reading.centre);
  const ink = verdictInk(reading.verdict);
  const line: PagePoint[] = [
    [x, y],
    [x, Math.max(bottom, y)],
  ];
  sheet.part(alone ? 'plumb alone' : 'plumb', () => {
    if (alone) {
      sheet.shape([line], false, { stroke: { ink, width: 1, dash: [2, 3] } });
      sheet.circle([x, y], 3, { fill: 'sheet', stroke: { ink, width: 1.2 } });
      return;
    }
    // A pale line underneath keeps the plumb line readable over ink.
    sheet.shape([line], false, { stroke: { ink: 'sheet', width: PLUMB_WIDTH + 2 } });
    sheet.shape([line], false, { stroke: { ink, width: PLUMB_WIDTH } });
    sheet.circle([x, y], CENTRE_RADIUS, { fill: ink, stroke: { ink: 'sheet', width: 1.5 } });
  });
}

/** The support as a bar under the ground of an elevation, as in the badge; functional part thick. */
export function drawSupportBar(
  sheet: Sheet,
  reading: Reading,
  project: Projection,
  y: number,
): void {
  const { polygon, functional } = reading.support;
  if (polygon.length === 0) return;
  const ink = verdictInk(reading.verdict);
  const span = (points: readonly Vec2[]): readonly PagePoint[] => {
    const xs = points.map((point) => project.at(planPoint(point))[0]);
    return [
      [Math.min(...xs), y],
      [Math.max(...xs), y],
    ];
  };
  sheet.part('support-bar', () => {
    const whole = span(polygon);
    sheet.shape([whole, ...whole.map(([x]) => tick(x, y))], false, { stroke: { ink, width: 1.2 } });
    if (functional.length > 0)
      sheet.shape([span(functional)], false, { stroke: { ink, width: 4 } });
  });
}

const tick = (x: number, y: number): readonly PagePoint[] => [
  [x, y - TICK],
  [x, y + TICK],
];

/** Support outline, functional outline, plumb point, margin and direction of fall, in plan. */
export function drawPlanReading(
  sheet: Sheet,
  reading: Reading,
  alone: boolean,
  project: Projection,
  page: Box,
  labelSize: number,
): void {
  const ink = verdictInk(reading.verdict);
  const onPage = (points: readonly Vec2[]): PagePoint[] =>
    points.map((point) => project.at(planPoint(point)));
  const plumb = reading.plumb === null ? null : project.at(planPoint(reading.plumb));
  if (alone) {
    if (plumb !== null) {
      sheet.part('plumb-point alone', () =>
        sheet.circle(plumb, 3, { fill: 'sheet', stroke: { ink, width: 1.2 } }),
      );
    }
    return;
  }
  const { polygon, functional, unbounded } = reading.support;
  sheet.part('support', () => {
    if (unbounded === true) {
      const lines = borderOf(reading.support).flatMap((line) => withinPage(onPage(line), page));
      sheet.shape(lines, false, { stroke: { ink, width: 1.4 } });
      return;
    }
    const closed = polygon.length > 2;
    if (closed) sheet.shape([onPage(polygon)], true, { fill: ink, fillOpacity: 0.1 });
    if (polygon.length > 1) sheet.shape([onPage(polygon)], closed, { stroke: { ink, width: 1.4 } });
    if (functional.length > 1) {
      const dash = { stroke: { ink, width: 1, dash: [3, 3] } };
      sheet.shape([onPage(functional)], functional.length > 2, dash);
    }
  });
  if (plumb === null) return;
  if (reading.margin !== null) drawMargin(sheet, reading, reading.margin, project, page, labelSize);
  sheet.part('plumb-point', () => {
    sheet.circle(plumb, CENTRE_RADIUS, { fill: ink, stroke: { ink: 'sheet', width: 1.5 } });
  });
}

/** The pieces of a line that lie on the page. */
function withinPage(
  line: readonly PagePoint[],
  [left, top, right, bottom]: Box,
): (readonly PagePoint[])[] {
  const corners: PagePoint[] = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
  return line.slice(1).flatMap((to, i) => {
    const from = line[i]!;
    const along: PagePoint = [to[0] - from[0], to[1] - from[1]];
    const span = inside(corners, from, along);
    if (span === null || span[0] >= 1 || span[1] <= 0) return [];
    const at = (share: number): PagePoint => [
      from[0] + along[0] * share,
      from[1] + along[1] * share,
    ];
    return [[at(Math.max(0, span[0])), at(Math.min(1, span[1]))]];
  });
}

/** Mean breadth of a letter over its height. */
const LETTER = 0.54;

/**
 * Where the number of a dimension line stands, clear of both its ends and the point on one of them:
 * under a level line, at the right of an upright one (above, the plumb line may come down from an
 * elevation); where that lies off the page, on another side. Middle of its base line.
 */
function numberAt(
  [a, b]: readonly [PagePoint, PagePoint],
  flat: boolean,
  wide: number,
  high: number,
  [left, , right, bottom]: Box,
): PagePoint {
  const clear = CENTRE_RADIUS + 3;
  const middle: PagePoint = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const base = middle[1] + high * 0.35;
  const under: PagePoint = [
    Math.min(right - wide / 2, Math.max(left + wide / 2, middle[0])),
    Math.max(a[1], b[1]) + clear + high * 0.75,
  ];
  const beside = (x: number): PagePoint => [x, base];
  const after = beside(Math.max(a[0], b[0]) + clear + wide / 2);
  const before = beside(Math.min(a[0], b[0]) - clear - wide / 2);
  const places = flat ? [under, after, before] : [after, before, under];
  const fits = ([x, y]: PagePoint): boolean =>
    x - wide / 2 >= left && x + wide / 2 <= right && y <= bottom;
  return places.find(fits) ?? under;
}

/** The margin as a dimension line from the plumb point to the nearest edge, and the fall's arrow. */
function drawMargin(
  sheet: Sheet,
  reading: Reading,
  margin: Margin,
  project: Projection,
  page: Box,
  labelSize: number,
): void {
  const ink = verdictInk(reading.verdict);
  const from = project.at(planPoint(reading.plumb as Vec2));
  const to = project.at(planPoint(margin.edge.nearest));
  // The direction is kept apart from the two ends: they may coincide.
  const origin = project.at([0, 0, 0]);
  const ahead = project.at(planPoint(margin.direction));
  const size = Math.hypot(ahead[0] - origin[0], ahead[1] - origin[1]);
  if (size === 0) return;
  const along: PagePoint = [(ahead[0] - origin[0]) / size, (ahead[1] - origin[1]) / size];
  const across: PagePoint = [-along[1], along[0]];
  const move = ([x, y]: PagePoint, by: PagePoint, times: number): PagePoint => [
    x + by[0] * times,
    y + by[1] * times,
  ];
  sheet.part('margin', () => {
    const ends = [from, to].map((end) => [move(end, across, -TICK), move(end, across, TICK)]);
    sheet.shape([[from, to], ...ends], false, { stroke: { ink: 'ink', width: 1 } });
    const text = marginText(margin);
    const flat = Math.abs(along[0]) > Math.abs(along[1]);
    sheet.text(
      numberAt([from, to], flat, text.length * LETTER * labelSize, labelSize, page),
      text,
      {
        ink: 'ink',
        size: labelSize,
        anchor: 'middle',
        bold: true,
        halo: 'sheet',
      },
    );
  });
  if (reading.verdict !== 'falls') return;
  sheet.part('fall', () => {
    const start = move(from, along, CENTRE_RADIUS + 2);
    const tip = move(start, along, ARROW);
    const back = move(tip, along, -ARROW_HEAD);
    sheet.shape([[start, tip]], false, { stroke: { ink, width: 2 } });
    const head = [move(back, across, ARROW_HEAD * 0.8), tip, move(back, across, -ARROW_HEAD * 0.8)];
    sheet.shape([head], false, { stroke: { ink, width: 2 } });
  });
}
