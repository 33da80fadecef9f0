import {
  castMap,
  draftEntries,
  type ReviewDocs,
  readCalls,
  readCast,
  readDecisions,
  readDrafts,
  readHistory,
  readKeys,
  readMarks,
  readNotes,
  readPeople,
  readPictures,
  readScene,
  readSeals,
  readSequences,
  readShots,
  readStamps,
  readTitle,
} from '../../core/document/index.ts';

const byKey = (map: ReadonlyMap<string, unknown>): Record<string, unknown> =>
  Object.fromEntries([...map].sort(([a], [b]) => (a < b ? -1 : 1)));

/** All that the documents of a review say to the present program, as plain data in a fixed order. */
export function readingOfDocuments({ scenes, notes, record }: ReviewDocs): unknown {
  const reading = {
    title: readTitle(scenes),
    sequences: readSequences(scenes),
    shots: readShots(scenes),
    cast: readCast(castMap(scenes)),
    drafts: readDrafts(scenes).map((draft) => ({
      ...draft,
      scene: readScene(scenes, draft.id),
      keys: byKey(readKeys(draftEntries(scenes, draft.id))),
      pictures: byKey(readPictures(draftEntries(scenes, draft.id))),
      marks: readMarks(notes, draft.id).sort((a, b) => (a.id < b.id ? -1 : 1)),
    })),
    notes: readNotes(notes),
    people: byKey(readPeople(record)),
    stamps: byKey(readStamps(record)),
    history: byKey(readHistory(record)),
    seals: byKey(readSeals(record)),
    decisions: readDecisions(record),
    calls: readCalls(record),
  };
  return JSON.parse(JSON.stringify(reading));
}
