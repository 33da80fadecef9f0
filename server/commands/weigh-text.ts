import type { GroupReading } from '../../core/balance/index.ts';
import { marginText } from '../../core/drawing/index.ts';
import { type ClipReading, tellTiming } from '../../core/motion/index.ts';
import { judgedOf, type Weighed, type WeighedFrame, type WeighedSource } from './weigh-frames.ts';
import { CAUTION } from './weigh-json.ts';

/** The answer in sentences: one frame in full, a clip as spans of one verdict. */
export function reportText(source: WeighedSource, { frames, motion }: Weighed): string {
  const lines = [titleOf(source), ...source.remarks.map((remark) => `  ${remark}`), ''];
  const [first] = frames;
  if (frames.length === 1 && first !== undefined) lines.push(...frameLines(source, first));
  else {
    const several = new Set(frames.flatMap(({ report }) => report.groups.map(({ id }) => id)));
    for (const id of several) {
      const named = several.size > 1 ? `${nameOf(frames, id)}, ` : '';
      lines.push(...spanLines(frames, id).map((line) => named + line));
    }
    for (const { reading } of motion) lines.push('', ...clipLines(reading));
  }
  return `${[...lines, '', CAUTION].join('\n')}\n`;
}

function titleOf({ name, frameCount, rate }: WeighedSource): string {
  if (frameCount === 1) return name;
  return `${name}: ${frameCount} frames at ${rounded(rate)} a second`;
}

const rounded = (value: number, digits = 2): string => String(Number(value.toFixed(digits)));
const cm = (metres: number): string =>
  `${metres < 0 ? '\u2212' : ''}${Math.abs(metres * 100).toFixed(1)} cm`;

function nameOf(frames: readonly WeighedFrame[], id: string): string {
  for (const { report, scene } of frames) {
    const group = report.groups.find((one) => one.id === id);
    if (group) return membersOf(scene, group);
  }
  return id;
}

function membersOf({ figures, loads }: WeighedFrame['scene'], group: GroupReading): string {
  const names = new Map([...figures, ...loads].map(({ id, name }) => [id, name]));
  return group.members.map((id) => names.get(id) ?? id).join(' and ');
}

function frameLines(source: WeighedSource, weighed: WeighedFrame): string[] {
  const { frame, time, scene, report, moving } = weighed;
  const lines = source.frameCount === 1 ? [] : [`Frame ${frame}, ${rounded(time, 3)} s`];
  if (report.groups.length === 0) lines.push('Nothing stands here yet.');
  const names = new Map(scene.figures.map(({ id, name }) => [id, name]));
  for (const group of report.groups) {
    const { sentence } = judgedOf(weighed, group);
    lines.push(`${membersOf(scene, group)}: ${sentence}`, `  ${numbersOf(group)}`);
    const motion = moving.get(group.id);
    if (motion !== undefined) {
      lines.push(`  ${motionNumbers(motion)}`);
      if (motion.verdict !== group.verdict) lines.push(`  Held still: ${group.sentence}`);
    }
    const alone = report.figures.filter((figure) => figure.group === group.id);
    if (alone.length < 2) continue;
    for (const figure of alone)
      lines.push(
        `  ${names.get(figure.figure) ?? figure.figure} alone: ${(weighed.judge?.(figure) ?? figure).sentence}`,
      );
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

function motionNumbers(frame: ClipReading['frames'][number]): string {
  const { velocity, marginOfStability, pressure, ground } = frame;
  const parts: string[] = [];
  if (velocity !== null) parts.push(`centre moves ${rounded(Math.hypot(...velocity))} m/s`);
  if (marginOfStability !== null) parts.push(`margin of stability ${cm(marginOfStability)}`);
  if (pressure !== null)
    parts.push(
      `pressure ${cm(Math.abs(pressure.margin))} ${pressure.margin < 0 ? 'outside' : 'inside'} the support (\u00b1 ${cm(pressure.noise)})`,
    );
  if (ground?.friction != null) parts.push(`asks friction ${rounded(ground.friction)}`);
  return parts.length === 0 ? 'speed not known' : parts.join(' \u00b7 ');
}

interface Span {
  readonly first: number;
  last: number;
  readonly verdict: string;
  tightest: string;
  least: number;
}

/** Runs of frames with one verdict, with the tightest margin of each. */
function spanLines(frames: readonly WeighedFrame[], id: string): string[] {
  const spans: Span[] = [];
  for (const weighed of frames) {
    const group = weighed.report.groups.find((one) => one.id === id);
    if (group === undefined) continue;
    const verdict = verdictWord(judgedOf(weighed, group).verdict);
    const { least, text } = tightness(weighed, group);
    const { frame } = weighed;
    const span = spans.at(-1);
    if (span?.verdict !== verdict || span.last !== frame - 1) {
      spans.push({ first: frame, last: frame, verdict, tightest: text, least });
      continue;
    }
    span.last = frame;
    if (least >= span.least) continue;
    span.least = least;
    span.tightest = text;
  }
  return spans.map(({ first, last, verdict, tightest }) => {
    const where = first === last ? `frame ${first}` : `frames ${first}-${last}`;
    return `${where}: ${verdict}${tightest}`;
  });
}

const verdictWord = (verdict: string): string => (verdict === 'unknown' ? 'cannot tell' : verdict);

function tightness(
  { frame, moving }: WeighedFrame,
  group: GroupReading,
): { least: number; text: string } {
  const motion = moving.get(group.id);
  if (motion?.marginOfStability != null) {
    const least = motion.marginOfStability;
    return { least, text: `, margin of stability down to ${cm(least)} (frame ${frame})` };
  }
  const { margin } = group;
  if (motion !== undefined || margin === null) return { least: Number.POSITIVE_INFINITY, text: '' };
  return {
    least: margin.distance,
    text: `, margin down to ${marginText(margin)} ${margin.heading}`,
  };
}

/** What is said of a clip in motion as a whole. */
function clipLines(reading: ClipReading): string[] {
  const { frames, worst, rises, flights, gait } = reading;
  const lines: string[] = [];
  const frame = worst === null ? undefined : frames[worst];
  if (frame) lines.push(`Worst at frame ${frame.frame}: ${frame.sentence}`);
  for (const rise of rises) lines.push(`Frame ${rise.frame}: ${rise.sentence}`);
  lines.push(...flights.map(({ sentence }) => sentence));
  if (gait?.shares) {
    const { double, single, air } = gait.shares;
    const share = (value: number): string => `${Math.round(value * 100)} %`;
    lines.push(
      `A cycle of ${rounded(gait.cycleTime ?? 0)} s: on two feet ${share(double)}, on one ${share(single)}, on none ${share(air)}.`,
    );
  }
  // A flight that does not fall as it should is told among the sentences as well.
  const told = new Set(lines);
  const rest = reading.sentences.filter((sentence) => !told.has(sentence));
  return [...lines, ...tellTiming(reading), ...rest];
}
