import { type BalanceReport, mainGroup } from '../../core/balance/index.ts';
import type { Recorded } from '../../core/document/record.ts';
import { type Clock, timeOf } from '../clock.ts';
import type { Log } from '../log.ts';

/** What is told of a draft whose reading is not known, or not to be. */
export const UNWEIGHED = {
  verdict: 'unknown' as const,
  ...{ margin: null, ratio: null, centre: null, area: null, contacts: null },
};

/** The history entry of a draft: its main group's reading, or `unknown` when it cannot be weighed. */
export function readingOf(assess: () => BalanceReport, clock: Clock, log: Log): Recorded {
  const at = timeOf(clock);
  try {
    const group = mainGroup(assess());
    return {
      verdict: group?.verdict ?? 'unknown',
      margin: group?.margin?.distance ?? null,
      ratio: group?.margin?.ratio ?? null,
      centre: group?.centre ?? null,
      area: group?.support.area ?? null,
      contacts: group?.support.contacts.length ?? null,
      at,
    };
  } catch (cause) {
    log.problem('A draft could not be weighed.', cause);
    return { ...UNWEIGHED, at };
  }
}
