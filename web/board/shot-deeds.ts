import { applyState, putShot, type Shot } from '../../core/document/index.ts';
import type { Session } from '../session/index.ts';
import { maySeal, newId, stateWord } from './deeds.ts';

/** What a person can do to one or several shots at once, each one step of their undo. */

const codesOf = (shots: readonly Shot[]): string =>
  shots.length === 1 ? (shots[0]?.code ?? '') : `${shots.length} shots`;

/**
 * Sets the state of shots.
 * @param draftOf the draft of a shot that the state is about; null where it has none
 */
export function setStates(
  session: Session,
  shots: readonly Shot[],
  state: Shot['state'],
  draftOf: (shot: Shot) => string | null,
): void {
  const isLead = session.me.role === 'lead';
  const mine = shots.filter((shot) => isLead || shot.state !== 'signed-off');
  if (state === 'signed-off' && !isLead) {
    session.say('A lead signs off.');
    return;
  }
  const kept = shots.length - mine.length;
  if (kept > 0) {
    session.say(
      `${kept === 1 ? '1 shot stays' : `${kept} shots stay`} signed off: a lead takes that back.`,
    );
  }
  const free = mine.filter((shot) => {
    const draft = draftOf(shot);
    return draft === null || maySeal(session, shot.code, state, draft);
  });
  if (free.length === 0) return;
  session.edit('scenes', `set ${codesOf(free)} to ${stateWord(state)}`, (doc, origin) => {
    for (const shot of free) {
      applyState(doc, { shot: shot.id, state, draft: draftOf(shot), newId }, origin);
    }
  });
  if (free.length === shots.length) session.say(`${codesOf(free)}: ${stateWord(state)}.`);
}

/** Gives shots to somebody. @param assigned as in `Shot`; null: to nobody */
export function assignShots(
  session: Session,
  shots: readonly Shot[],
  assigned: string | null,
  name: string,
): void {
  const deed =
    assigned === null ? `took ${codesOf(shots)} back` : `gave ${codesOf(shots)} to ${name}`;
  session.edit('scenes', deed, (doc, origin) => {
    for (const { id } of shots) putShot(doc, { id, assigned }, origin);
  });
}

/** Sets the day on which shots are due. @param due `YYYY-MM-DD`; null: no day */
export function setDue(session: Session, shots: readonly Shot[], due: string | null): void {
  session.edit('scenes', `set when ${codesOf(shots)} is due`, (doc, origin) => {
    for (const { id } of shots) putShot(doc, { id, due }, origin);
  });
}
