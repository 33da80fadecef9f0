import type { Person } from './record.ts';
import { SHOT_STATES, type Shot } from './scenes.ts';

/** Longest text of `assigned`: a person's id, or a name that a shot list brought along. */
export const MAX_ASSIGNED = 80;

/** A calendar day, `YYYY-MM-DD`, that exists. */
export function isDay(value: unknown): value is string {
  if (typeof value !== 'string' || !/^\d{4}-\d{2}-\d{2}$/.test(value)) return false;
  const time = Date.parse(`${value}T00:00:00Z`);
  return Number.isFinite(time) && new Date(time).toISOString().startsWith(value);
}

/** Whether a value may stand in a field of a shot's row; true for fields that have no rule. */
export function fitsShotField(field: string, value: unknown): boolean {
  if (field === 'state') return SHOT_STATES.some((state) => state === value);
  if (field === 'due') return value === null || isDay(value);
  if (field !== 'assigned') return true;
  return value === null || (typeof value === 'string' && value.length <= MAX_ASSIGNED);
}

/** Who a shot is assigned to, as it stands on screen; null for nobody. */
export function assignedName(
  { assigned }: Pick<Shot, 'assigned'>,
  people: ReadonlyMap<string, Pick<Person, 'name'>>,
): string | null {
  if (assigned === null) return null;
  return people.get(assigned)?.name ?? assigned;
}

/** What `assigned` holds for a name: the id of the one person of that name, else the name itself. */
export function assignedFor(
  name: string,
  people: ReadonlyMap<string, Pick<Person, 'id' | 'name'>>,
): string | null {
  const wanted = name.trim();
  if (wanted === '') return null;
  const same = [...people.values()].filter((person) => alike(person.name, wanted));
  return same.length === 1 && same[0] ? same[0].id : wanted.slice(0, MAX_ASSIGNED);
}

const alike = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

/**
 * Whether a shot should have been done before a day.
 * @param today `YYYY-MM-DD`
 */
export const isOverdue = ({ due, state }: Pick<Shot, 'due' | 'state'>, today: string): boolean =>
  due !== null && due < today && state !== 'signed-off';
