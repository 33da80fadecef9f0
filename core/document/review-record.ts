import type * as Y from 'yjs';
import { byTime } from './by-time.ts';
import { type Call, hiddenShots, readCalls } from './calls.ts';
import { type Decision, readDecisions } from './decisions.ts';
import { type Note, type Reply, readNotes, stateStampKey, withoutReadings } from './notes.ts';
import { type Person, type Recorded, readHistory, readPeople, readStamps } from './record.ts';
import {
  type Draft,
  readDrafts,
  readSequences,
  readShots,
  readTitle,
  type Sequence,
  type Shot,
  type ShotState,
} from './scenes.ts';
import { assignedName } from './shot-terms.ts';
import { readVisits, type Visit } from './visits.ts';

/** The three shared documents of a review. */
export interface ReviewDocs {
  readonly scenes: Y.Doc;
  readonly notes: Y.Doc;
  readonly record: Y.Doc;
}

/** Who did something and when; null for what the server has not stamped. */
export interface By {
  readonly by: string | null;
  /** The name as it is now; "Someone" for a person who is not known. */
  readonly name: string;
  readonly at: string | null;
}

export interface DraftRecord extends Draft {
  /** As it last settled; null for a draft that never did. */
  readonly reading: Recorded | null;
}

export interface ReplyRecord extends Reply, By {}

export interface NoteRecord extends Omit<Note, 'replies'>, By {
  /** 1, 2, 3 in the order of writing within the shot. */
  readonly number: number;
  /** Number of its draft; null for a draft that is gone. */
  readonly draftNumber: number | null;
  /** Name of the person who is asked; null: nobody. */
  readonly askedName: string | null;
  /** Who set its state last; null while it is as it was made. */
  readonly stateBy: By | null;
  /** In the order of writing. */
  readonly replies: readonly ReplyRecord[];
}

export interface DecisionRecord extends Decision {
  readonly name: string;
  readonly draftNumber: number | null;
}

export interface ShotRecord extends Shot {
  readonly sequenceTitle: string;
  /** The name behind `assigned`. */
  readonly assignedName: string | null;
  /** By number; the last is the current one. */
  readonly drafts: readonly DraftRecord[];
  /** In the order of writing. */
  readonly notes: readonly NoteRecord[];
  /** The oldest first. */
  readonly decisions: readonly DecisionRecord[];
  /** Open ones and shown ones, the oldest first. */
  readonly calls: readonly Call[];
  /** Its readings are hidden, because people are making the call. */
  readonly hidden: boolean;
}

/** Everything that a review says, as plain data in board order. */
export interface ReviewRecord {
  readonly title: string;
  readonly people: readonly Person[];
  readonly visits: readonly Visit[];
  readonly sequences: readonly Sequence[];
  readonly shots: readonly ShotRecord[];
}

/** Reads a whole review from its documents. */
export function gatherReview({ scenes, notes, record }: ReviewDocs): ReviewRecord {
  const people = readPeople(record);
  const stamps = readStamps(record);
  const history = readHistory(record);
  const decisions = readDecisions(record);
  const sequences = readSequences(scenes);
  const hidden = hiddenShots(record);
  const allNotes = readNotes(notes);
  const allDrafts = readDrafts(scenes);

  const by = (key: string): By => {
    const stamp = stamps.get(key);
    const name = people.get(stamp?.by ?? '')?.name ?? 'Someone';
    return { by: stamp?.by ?? null, name, at: stamp?.at ?? null };
  };
  const shotRecord = (shot: Shot, { title }: Sequence): ShotRecord => {
    const drafts = allDrafts.filter((draft) => draft.shot === shot.id);
    const isHidden = hidden.has(shot.id);
    const numberOf = (id: string | null): number | null =>
      drafts.find((draft) => draft.id === id)?.number ?? null;
    return {
      ...shot,
      sequenceTitle: title,
      assignedName: assignedName(shot, people),
      drafts: drafts.map((draft) => ({
        ...draft,
        reading: isHidden ? null : (history.get(draft.id) ?? null),
      })),
      notes: allNotes
        .filter((note) => note.shot === shot.id)
        .map((note) => ({ ...(isHidden ? withoutReadings(note) : note), ...by(note.id) }))
        .sort(byTime)
        .map((note, index) => ({
          ...note,
          number: index + 1,
          draftNumber: numberOf(note.draft),
          askedName: note.asked === null ? null : (people.get(note.asked)?.name ?? 'Someone'),
          stateBy: stamps.has(stateStampKey(note.id)) ? by(stateStampKey(note.id)) : null,
          replies: note.replies.map((reply) => ({ ...reply, ...by(reply.id) })).sort(byTime),
        })),
      decisions: decisions
        .filter((decision) => decision.shot === shot.id)
        .map((decision) => ({
          ...decision,
          reading: isHidden ? null : decision.reading,
          name: people.get(decision.by)?.name ?? 'Someone',
          draftNumber: numberOf(decision.draft),
        })),
      calls: readCalls(record, shot.id),
      hidden: isHidden,
    };
  };
  const shots = readShots(scenes);
  return {
    title: readTitle(scenes),
    people: [...people.values()],
    visits: readVisits(record),
    sequences,
    shots: sequences.flatMap((sequence) =>
      shots
        .filter((shot) => shot.sequence === sequence.id)
        .map((shot) => shotRecord(shot, sequence)),
    ),
  };
}

const STATE_WORDS: Readonly<Record<ShotState, string>> = {
  'in-work': 'in work',
  'for-review': 'for review',
  retake: 'retake',
  'signed-off': 'signed off',
};

/** The state of a shot as it stands on screen and on paper. */
export const stateWord = (state: ShotState): string => STATE_WORDS[state];
