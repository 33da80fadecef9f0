const MONTHS = 'Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec'.split(' ');

/** A calendar day in words that read the same everywhere: "3 Mar 2031"; the text itself if it is none. */
export function dayText(day: string): string {
  const [, year, month, date] = /^(\d{4})-(\d{2})-(\d{2})/.exec(day) ?? [];
  const name = MONTHS[Number(month) - 1];
  return name === undefined ? day : `${Number(date)} ${name} ${year}`;
}

/** A time of the server: "3 Mar 2031, 09:30 UTC"; "an unknown time" for null. */
export function timeText(iso: string | null): string {
  if (iso === null || Number.isNaN(Date.parse(iso))) return 'an unknown time';
  const utc = new Date(iso).toISOString();
  return `${dayText(utc)}, ${utc.slice(11, 16)} UTC`;
}
