export { sceneWithClip } from './clip-scene.ts';
export { type Decision, putDecision, readDecisions } from './decisions.ts';
export { asNumber, asOneOf, asQuat, asRecord, asText, asVec3 } from './decode.ts';
export {
  addNote,
  addReply,
  NOTE_STATES,
  NOTE_WEIGHTS,
  type Note,
  type NoteState,
  type NoteWeight,
  noteMaps,
  type Pin,
  type Reply,
  readNotes,
  removeNote,
  setNoteState,
  stateStampKey,
} from './notes.ts';
export { nameOf, patchWord, pinLabel, segmentWord } from './pin-words.ts';
export { type Cursor, type Drag, type Presence, readPresence } from './presence.ts';
export {
  type Person,
  type Recorded,
  readHistory,
  readPeople,
  readStamp,
  readStamps,
  recordMap,
  type Stamp,
  toRecorded,
} from './record.ts';
export {
  type By,
  type DecisionRecord,
  type DraftRecord,
  gatherReview,
  type NoteRecord,
  type ReplyRecord,
  type ReviewDocs,
  type ReviewRecord,
  type ShotRecord,
  stateWord,
} from './review-record.ts';
export {
  contactKey,
  figureFields,
  figureKey,
  gripFields,
  gripKey,
  jointKey,
  loadFields,
  loadKey,
  readSceneEntries,
  surfaceFields,
  surfaceKey,
} from './scene-entries.ts';
export {
  addDraft,
  boardMaps,
  type ClipLink,
  copyDraft,
  type Draft,
  draftEntries,
  orderBetween,
  putSequence,
  putShot,
  putThing,
  readDraft,
  readDrafts,
  readScene,
  readSequences,
  readShots,
  readTitle,
  removeSequence,
  removeShot,
  removeThing,
  SCHEMA_VERSION,
  type Sequence,
  SHOT_STATES,
  type Shot,
  type ShotState,
  setDraftTitle,
  setEntries,
  setReviewTitle,
  type Thing,
} from './scenes.ts';
export { isSealed, SEALED_FIELD, sealDraft } from './seals.ts';
export {
  assignedFor,
  assignedName,
  fitsShotField,
  isDay,
  isOverdue,
  MAX_ASSIGNED,
} from './shot-terms.ts';
export { dropRow, type Entries, overlaid, putRow, type Row, readRows, SEPARATOR } from './table.ts';
export { hasVisited, putVisit, readVisits, type Visit } from './visits.ts';
