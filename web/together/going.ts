import type { Other, Session } from '../session/index.ts';

/** Going with a person: their shot, camera, frame and selection become mine until I move. */

/** The window of a person that the others go with: where their pointer is, else where they look at a shot. */
export function windowOf(others: readonly Other[], person: string): Other | null {
  const theirs = others.filter((other) => other.person === person);
  return (
    theirs.find(({ cursor }) => cursor !== null) ??
    theirs.find(({ shot }) => shot !== null) ??
    theirs[0] ??
    null
  );
}

/**
 * Whose window one sees who goes with `person`: the first of the chain, for people go with people who
 * go with others. Null when that person is not here, or the chain comes back to `me`.
 */
export function leaderOf(
  others: readonly Other[],
  me: string,
  person: string | null,
): Other | null {
  const seen = new Set([me]);
  let leader: Other | null = null;
  for (let at = person; at !== null; at = leader.with) {
    if (seen.has(at)) return null;
    seen.add(at);
    leader = windowOf(others, at);
    if (leader === null) return null;
  }
  return leader;
}

/** The window that I see at this moment, going with somebody; null on my own. */
export const leaderFor = (session: Session): Other | null =>
  leaderOf(session.others(), session.me.id, session.showing.with);

export function goWith(session: Session, { person, name }: Pick<Other, 'person' | 'name'>): void {
  if (leaderOf(session.others(), session.me.id, person) === null) {
    session.say(`${name} goes with you already: they see what you see.`);
    return;
  }
  session.show({ with: person, camera: null, selection: null });
  session.say(`You go with ${name} until you move.`);
}

/** Ends going along; says so, for it may come from a move that meant something else. */
export function goOnMyOwn(session: Session): void {
  if (session.showing.with === null) return;
  session.show({ with: null });
  session.say('You are on your own now.');
}

/** The people who go with me, each once. */
export function companyOf(session: Session): readonly Other[] {
  const company = new Map<string, Other>();
  for (const other of session.others()) {
    if (other.with === session.me.id && other.person !== session.me.id) {
      company.set(other.person, other);
    }
  }
  return [...company.values()];
}

/** Somebody's call to come along that I have not heard of before. */
export interface Call {
  readonly leader: Other;
  /** Names this call among all. */
  readonly id: string;
}

/** Leads who ask everyone along now, the latest last; never myself or whom I go with. */
export function callsAlong(session: Session): readonly Call[] {
  return session
    .others()
    .filter(({ along, person, role }) => {
      const mine = person === session.me.id || person === session.showing.with;
      return along !== null && role === 'lead' && !mine;
    })
    .map((leader) => ({ leader, id: `${leader.client}/${leader.along}` }));
}
