import type * as Y from 'yjs';
import type { ListedShot } from '../formats/index.ts';
import type { Person } from './record.ts';
import {
  addDraft,
  orderBetween,
  putSequence,
  putShot,
  readDrafts,
  readSequences,
  readShots,
  SHOT_STATES,
  type Shot,
} from './scenes.ts';
import { applyState } from './shot-states.ts';
import { assignedFor } from './shot-terms.ts';
import { startScene } from './start-scene.ts';

/** What a list would do to a board. */
export interface ListPlan {
  readonly added: readonly ListedShot[];
  /** Shots that are on the board already, by their code. */
  readonly changed: readonly { readonly shot: Shot; readonly listed: ListedShot }[];
}

/** Works out which rows of a list are new shots and which are about shots of the board. */
export function planList(doc: Y.Doc, listed: readonly ListedShot[]): ListPlan {
  const byCode = new Map(readShots(doc).map((shot) => [shot.code, shot] as const));
  const changed = listed.flatMap((item) => {
    const shot = byCode.get(item.code);
    return shot === undefined ? [] : [{ shot, listed: item }];
  });
  return { added: listed.filter(({ code }) => !byCode.has(code)), changed };
}

export interface ListSettings {
  readonly people: ReadonlyMap<string, Pick<Person, 'id' | 'name'>>;
  /** Row of shots that the list puts nowhere, where the board has none yet. */
  readonly otherwise: string;
  readonly newId: () => string;
}

/**
 * Brings a list onto a board in one transaction: makes the sequences and shots that are new, each shot
 * with a first draft of a standing figure, and sets what the list says of those that are there. A state does
 * to the newest draft what it would do on the board.
 */
export function bringList(
  doc: Y.Doc,
  listed: readonly ListedShot[],
  { people, otherwise, newId }: ListSettings,
  origin: unknown,
): ListPlan {
  const plan = planList(doc, listed);
  doc.transact(() => {
    const sequences = new Map(readSequences(doc).map(({ id, title }) => [title, id] as const));
    let lastOrder = readSequences(doc).at(-1)?.order ?? null;
    const sequenceOf = (title: string): string => {
      const known = sequences.get(title);
      if (known !== undefined) return known;
      const id = newId();
      lastOrder = orderBetween(lastOrder, null);
      putSequence(doc, { id, title, order: lastOrder }, origin);
      sequences.set(title, id);
      return id;
    };
    const ends = new Map<string, string>();
    for (const { sequence, order } of readShots(doc)) ends.set(sequence, order);
    const place = (sequence: string): string => {
      const order = orderBetween(ends.get(sequence) ?? null, null);
      ends.set(sequence, order);
      return order;
    };
    const first = (): string => [...sequences.values()][0] ?? sequenceOf(otherwise);
    for (const { shot, listed: item } of plan.changed) {
      const sequence = item.sequence === undefined ? shot.sequence : sequenceOf(item.sequence);
      const moved = sequence === shot.sequence ? {} : { sequence, order: place(sequence) };
      putShot(doc, { id: shot.id, ...moved, ...fieldsOf(item, people) }, origin);
      const state = stateOf(item);
      if (state === undefined || state === shot.state) continue;
      const draft = readDrafts(doc, shot.id).at(-1)?.id ?? null;
      applyState(doc, { shot: shot.id, state, draft, newId }, origin);
    }
    for (const item of plan.added) {
      const id = newId();
      const sequence = item.sequence === undefined ? first() : sequenceOf(item.sequence);
      const start = { title: '', state: 'in-work', rate: 24, frames: [1, 1] } as const;
      putShot(
        doc,
        {
          id,
          sequence,
          order: place(sequence),
          code: item.code,
          ...start,
          ...fieldsOf(item, people),
        },
        origin,
      );
      const draft = { id: newId(), shot: id, from: null, title: 'standing' };
      addDraft(doc, draft, startScene(newId()), origin);
      const state = stateOf(item) ?? start.state;
      applyState(doc, { shot: id, state, draft: draft.id, newId }, origin);
    }
  }, origin);
  return plan;
}

const stateOf = ({ state }: ListedShot): Shot['state'] | undefined =>
  SHOT_STATES.find((known) => known === state);

function fieldsOf(
  { title, assigned, due, frames, rate }: ListedShot,
  people: ListSettings['people'],
): Partial<Omit<Shot, 'id'>> {
  return {
    ...(title === undefined ? {} : { title }),
    ...(assigned === undefined ? {} : { assigned: assignedFor(assigned, people) }),
    ...(due === undefined ? {} : { due }),
    ...(frames === undefined ? {} : { frames }),
    ...(rate === undefined ? {} : { rate }),
  };
}
