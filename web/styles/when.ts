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
