import type { BalanceReport, GroupReading, Reading } from '../../core/balance/index.ts';
import { marginText } from '../../core/drawing/index.ts';
import type { Scene } from '../../core/scene/index.ts';

/** A file that can be weighed frame by frame. */
export interface WeighedSource {
  /** The file as it was given. */
  readonly source: string;
  readonly name: string;
  /** Frames per second; 1 for a scene that is one pose. */
  readonly rate: number;
  readonly frameCount: number;
  /** How it was read, as sentences. */
  readonly remarks: readonly string[];
  readonly sceneAt: (frame: number) => Scene;
}

export interface WeighedFrame {
  readonly frame: number;
  /** Seconds from the first frame. */
  readonly time: number;
  readonly scene: Scene;
  readonly report: BalanceReport;
}

export const CAUTION =
  'For drawn and animated figures only: no safety assessment of real people. Local codes and licensed practice decide.';

/** The readings of a frame as plain data: SI units in the names, plan points as [x, z]. */
function readingData(reading: Reading) {
  const { margin, support } = reading;
  return {
    mass_kg: reading.mass,
    centre_m: reading.centre,
    plumb_m: reading.plumb,
    support_m: support.polygon,
    support_kind: support.kind,
    support_exact: support.exact,
    functional_support_m: support.functional,
    contacts: support.contacts,
    margin_m: margin?.distance ?? null,
    margin_ratio: margin?.ratio ?? null,
    functional_margin_m: margin?.functional ?? null,
    direction: margin?.direction ?? null,
    tip_angle_rad: margin?.tipAngle ?? null,
    foot_position: reading.footPosition,
    verdict: reading.verdict,
    sentence: reading.sentence,
  };
}

const massOf = ({ groups }: BalanceReport): number | null => {
  const masses = groups.map(({ mass }) => mass);
  return masses.includes(null) ? null : masses.reduce<number>((sum, m) => sum + (m ?? 0), 0);
};

/** The answer of `weigh --json`, indented, with a line feed at its end. */
export function reportJson(source: WeighedSource, frames: readonly WeighedFrame[]): string {
  const data = {
    source: source.source,
    mass_kg: massOf((frames[0] as WeighedFrame).report),
    frame_rate: source.frameCount === 1 ? null : source.rate,
    frame_count: source.frameCount,
    remarks: source.remarks,
    frames: frames.map(({ frame, time, report }) => ({
      frame,
      time_s: time,
      groups: report.groups.map((group) => ({
        id: group.id,
        members: group.members,
        ...readingData(group),
      })),
      figures: report.figures.map((figure) => ({
        figure: figure.figure,
        group: figure.group,
        body_centre_m: figure.bodyCentre,
        ...readingData(figure),
      })),
    })),
    caution: CAUTION,
  };
  return `${JSON.stringify(data, null, 2)}\n`;
}

/** The answer in sentences: one frame in full, a clip as spans of one verdict. */
export function reportText(source: WeighedSource, frames: readonly WeighedFrame[]): string {
  const lines = [titleOf(source), ...source.remarks.map((remark) => `  ${remark}`), ''];
  if (frames.length === 1) lines.push(...frameLines(source, frames[0] as WeighedFrame));
  else lines.push(...spanLines(frames));
  return `${[...lines, '', CAUTION].join('\n')}\n`;
}

function titleOf({ name, frameCount, rate }: WeighedSource): string {
  if (frameCount === 1) return name;
  return `${name}: ${frameCount} frames at ${rounded(rate)} a second`;
}

const rounded = (value: number, digits = 2): string => String(Number(value.toFixed(digits)));

function frameLines(source: WeighedSource, { frame, time, scene, report }: WeighedFrame): string[] {
  const lines = source.frameCount === 1 ? [] : [`Frame ${frame}, ${rounded(time, 3)} s`];
  if (report.groups.length === 0) lines.push('Nothing stands here yet.');
  const names = new Map([...scene.figures, ...scene.loads].map(({ id, name }) => [id, name]));
  for (const group of report.groups) {
    const members = group.members.map((id) => names.get(id) ?? id).join(' and ');
    lines.push(`${members}: ${group.sentence}`, `  ${numbersOf(group)}`);
    const alone = report.figures.filter((figure) => figure.group === group.id);
    if (alone.length < 2) continue;
    for (const figure of alone)
      lines.push(`  ${names.get(figure.figure) ?? figure.figure} alone: ${figure.sentence}`);
  }
  return lines;
}

function numbersOf(group: GroupReading): string {
  const parts = [group.mass === null ? 'mass not known' : `${rounded(group.mass, 1)} kg`];
  if (group.centre) {
    const [x, y, z] = group.centre.map((value) => rounded(value));
    parts.push(`centre ${y} m up, at x ${x}, z ${z} m`);
  }
  if (group.support.area > 0)
    parts.push(`support ${Math.round(group.support.area * 1e4)} cm\u00b2`);
  if (group.margin) parts.push(`margin ${marginText(group.margin)} ${group.margin.heading}`);
  if (group.footPosition !== null) parts.push(`${Math.round(group.footPosition * 100)} % of foot`);
  return parts.join(' \u00b7 ');
}

/** Runs of frames with one verdict, with the tightest margin of each. */
function spanLines(frames: readonly WeighedFrame[]): string[] {
  const spans: { first: number; last: number; verdict: string; tightest: GroupReading | null }[] =
    [];
  for (const { frame, report } of frames) {
    const [group = null] = report.groups;
    const verdict = group?.verdict ?? 'empty';
    const span = spans.at(-1);
    if (span?.verdict !== verdict) {
      spans.push({ first: frame, last: frame, verdict, tightest: group });
      continue;
    }
    span.last = frame;
    const now = group?.margin?.distance ?? Number.POSITIVE_INFINITY;
    if (now < (span.tightest?.margin?.distance ?? Number.POSITIVE_INFINITY)) span.tightest = group;
  }
  return spans.map(({ first, last, verdict, tightest }) => {
    const where = first === last ? `frame ${first}` : `frames ${first}-${last}`;
    const margin = tightest?.margin
      ? `, margin down to ${marginText(tightest.margin)} ${tightest.margin.heading}`
      : '';
    return `${where}: ${verdict}${margin}`;
  });
}
