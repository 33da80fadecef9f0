import { type CsvCell, writeCsv } from '../../core/formats/index.ts';
import { judgedOf, type Weighed, type WeighedSource } from './weigh-frames.ts';

const COLUMNS = [
  ...['source', 'frame', 'time_s', 'members', 'verdict', 'verdict_at_rest', 'sentence', 'mass_kg'],
  ...['centre_x_m', 'centre_y_m', 'centre_z_m', 'support_area_m2', 'contacts'],
  ...['margin_m', 'margin_ratio', 'functional_margin_m', 'heading', 'foot_percent'],
  ...['velocity_x_m_s', 'velocity_y_m_s', 'velocity_z_m_s'],
  ...['extrapolated_x_m', 'extrapolated_z_m', 'margin_of_stability_m'],
  ...['speed_needed_m_s', 'speed_has_m_s', 'topples_in_s'],
  ...['pressure_x_m', 'pressure_z_m', 'pressure_margin_m', 'pressure_noise_m', 'friction_demand'],
] as const;

/** The answer of `weigh --csv`: one row a frame and group; columns in motion are empty at rest. */
export function reportCsv(source: WeighedSource, { frames }: Weighed): string {
  const rows = frames.flatMap((weighed) =>
    weighed.report.groups.map((group): CsvCell[] => {
      const { verdict, sentence } = judgedOf(weighed, group);
      const { margin, support, centre, footPosition } = group;
      const moving = weighed.moving.get(group.id);
      return [
        ...[source.source, weighed.frame, rounded(weighed.time), group.members.join(' ')],
        ...[verdict, group.verdict, sentence, rounded(group.mass)],
        ...three(centre),
        ...[rounded(support.area), support.contacts.join(' ')],
        ...[margin?.distance, margin?.ratio, margin?.functional].map(rounded),
        margin?.heading ?? null,
        footPosition === null ? null : rounded(footPosition * 100),
        ...three(moving?.velocity),
        ...[moving?.extrapolated?.[0], moving?.extrapolated?.[2], moving?.marginOfStability].map(
          rounded,
        ),
        ...[moving?.needed, moving?.has, moving?.topplesIn].map(rounded),
        ...[moving?.pressure?.point[0], moving?.pressure?.point[1]].map(rounded),
        ...[moving?.pressure?.margin, moving?.pressure?.noise].map(rounded),
        rounded(moving?.ground?.friction),
      ];
    }),
  );
  return writeCsv(COLUMNS, rows);
}

/** Micrometres are finer than any clip; more digits only make the columns wide. */
const rounded = (value: number | null | undefined): number | null =>
  value === null || value === undefined ? null : Number(value.toFixed(6));

const three = (point: readonly [number, number, number] | null | undefined): (number | null)[] =>
  [0, 1, 2].map((i) => rounded(point?.[i]));
