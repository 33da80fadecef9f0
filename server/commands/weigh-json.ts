import type { BalanceReport, Reading } from '../../core/balance/index.ts';
import { type ClipFrame, type ClipReading, tellTiming } from '../../core/motion/index.ts';
import { judgedOf, type Weighed, type WeighedSource } from './weigh-frames.ts';

export const CAUTION =
  'For drawn and animated figures only: no safety assessment of real people. Local codes and licensed practice decide.';

/** The answer of `weigh --json`, indented, with a line feed at its end. */
export function reportJson(source: WeighedSource, { frames, motion }: Weighed): string {
  const [first] = frames;
  const data = {
    source: source.source,
    mass_kg: first === undefined ? null : massOf(first.report),
    frame_rate: source.frameCount === 1 ? null : source.rate,
    frame_count: source.frameCount,
    weighed: motion.length > 0 ? 'in motion' : 'at rest',
    remarks: source.remarks,
    frames: frames.map((frame) => ({
      frame: frame.frame,
      time_s: frame.time,
      groups: frame.report.groups.map((group) => ({
        id: group.id,
        members: group.members,
        ...readingData(group),
        ...judgedData(judgedOf(frame, group), group),
        ...motionData(frame.moving.get(group.id)),
      })),
      figures: frame.report.figures.map((figure) => ({
        figure: figure.figure,
        group: figure.group,
        body_centre_m: figure.bodyCentre,
        ...readingData(figure),
        ...(frame.judge === null ? {} : judgedData(frame.judge(figure), figure)),
      })),
    })),
    motion: motion.map(({ figure, reading }) => ({ figure, ...clipData(reading) })),
    caution: CAUTION,
  };
  return `${JSON.stringify(data, null, 2)}\n`;
}

const massOf = ({ groups }: BalanceReport): number | null => {
  const masses = groups.map(({ mass }) => mass);
  return masses.includes(null) ? null : masses.reduce<number>((sum, m) => sum + (m ?? 0), 0);
};

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

/** The verdict that counts, and beside it what the pose says at rest. */
const judgedData = (
  judged: { readonly verdict: string; readonly sentence: string },
  { verdict, sentence }: Reading,
) => ({
  verdict: judged.verdict,
  sentence: judged.sentence,
  verdict_at_rest: verdict,
  sentence_at_rest: sentence,
});

function motionData(frame: ClipFrame | undefined) {
  if (frame === undefined) return {};
  const { pressure, ground } = frame;
  return {
    motion: {
      velocity_m_s: frame.velocity,
      acceleration_m_s2: frame.acceleration,
      extrapolated_centre_m: frame.extrapolated,
      margin_of_stability_m: frame.marginOfStability,
      speed_needed_m_s: frame.needed,
      speed_has_m_s: frame.has,
      topples_in_s: frame.topplesIn,
      angular_momentum_kg_m2_s: frame.momentum,
      pressure_m: pressure?.point ?? null,
      pressure_margin_m: pressure?.margin ?? null,
      pressure_noise_m: pressure?.noise ?? null,
      ground_force_n: ground?.force ?? null,
      friction_demand: ground?.friction ?? null,
    },
  };
}

/** What is said of a clip as a whole. */
function clipData(reading: ClipReading) {
  const { noise } = reading;
  return {
    verdict_frames: reading.counts,
    worst_frame: reading.worst,
    stop_holds_from_frame: reading.stopsFrom,
    slowest_speed_share: reading.slowest ?? null,
    cutoff_hz: reading.cutoff,
    noise: {
      position_m: noise.position,
      velocity_m_s: noise.velocity,
      acceleration_m_s2: noise.acceleration,
    },
    support_spans: reading.spans,
    contact_spans: reading.contacts,
    flights: reading.flights.map((flight) => ({
      from: flight.from,
      to: flight.to,
      duration_s: flight.duration,
      gravity_m_s2: flight.gravity,
      gravity_noise_m_s2: flight.gravityNoise,
      scale: flight.scale,
      rise_m: flight.rise,
      residual_m: flight.residual,
      kind: flight.kind,
      sentence: flight.sentence,
    })),
    rises: reading.rises.map((rise) => ({
      frame: rise.frame,
      outcome: rise.outcome,
      least_m_s: rise.least,
      most_m_s: rise.most,
      published_least_m_s: rise.published.least,
      published_most_m_s: rise.published.most,
      sentence: rise.sentence,
    })),
    gait: reading.gait,
    sentences: [...tellTiming(reading), ...reading.sentences],
  };
}
