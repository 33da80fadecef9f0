/** When something was written, as one would say it: "14:02", "yesterday 9:30", "3 March 9:30". */
export function sayWhen(iso: string, now: Date): string {
  const then = new Date(iso);
  if (Number.isNaN(then.getTime())) return '';
  const time = then.toLocaleTimeString(undefined, { timeStyle: 'short' });
  const dayOf = (date: Date): number =>
    Math.floor(
      new Date(date.getFullYear(), date.getMonth(), date.getDate()).getTime() / 86_400_000,
    );
  const days = dayOf(now) - dayOf(then);
  if (days <= 0) return time;
  if (days === 1) return `yesterday ${time}`;
  const sameYear = now.getFullYear() === then.getFullYear();
  const date = then.toLocaleDateString(undefined, {
    day: 'numeric',
    month: 'long',
    ...(sameYear ? {} : { year: 'numeric' }),
  });
  return `${date} ${time}`;
}

/** Today by this machine's calendar, `YYYY-MM-DD`. */
export function todayHere(now = new Date()): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** A calendar day as one would say it: "3 March"; with the year where it is not this one. */
export function dayWord(day: string, now = new Date()): string {
  const date = new Date(`${day}T12:00:00`);
  if (Number.isNaN(date.getTime())) return day;
  return date.toLocaleDateString(undefined, {
    day: 'numeric',
    month: 'long',
    ...(date.getFullYear() === now.getFullYear() ? {} : { year: 'numeric' }),
  });
}
