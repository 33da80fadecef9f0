export {
  type Annotation,
  type AnnotationCollection,
  type AnnotationSettings,
  annotationsOf,
} from './annotations.ts';
export {
  bodyFields,
  extraField,
  extraTurnField,
  isBodyField,
  overrideField,
} from './body-entries.ts';
export { truthOf } from './call-truth.ts';
export {
  type Answer,
  CALLED_VERDICTS,
  type Call,
  type CalledVerdict,
  calledDrafts,
  callsMap,
  dropOpenCalls,
  type GivenAnswer,
  hiddenShots,
  isCalled,
  type OpenCall,
  openCallOn,
  progressOf,
  putCall,
  readAnswer,
  readCalls,
  readOneCall,
  readTruth,
  type Score,
  type ShownCall,
  type Step,
  type Summary,
  scoreOf,
  summaryOf,
  type Truth,
} from './calls.ts';
export {
  type CastBody,
  castMap,
  detachFigures,
  putCast,
  readCast,
  removeCast,
  setCastFields,
  usesCast,
} from './cast.ts';
export {
  type ClipCamera,
  type ClipLink,
  clipSettings,
  plainLink,
  readClipLink,
} from './clip-link.ts';
export { sceneWithClip } from './clip-scene.ts';
export { type Decision, putDecision, readDecisions } from './decisions.ts';
export { asNumber, asOneOf, asQuat, asRecord, asText, asVec2, asVec3 } from './decode.ts';
export {
  EVERY_NOTE,
  findNotes,
  isFor,
  isStanding,
  mentionsIn,
  type NoteQuery,
  speaksOf,
  type TextPart,
  textParts,
} from './find-notes.ts';
export {
  type FrameSpan,
  keyFields,
  keyKey,
  readKeys,
  readSpan,
  readTouches,
  type StoredKey,
  touchKey,
} from './keys.ts';
export { letGoEntries } from './letting-go.ts';
export {
  addMark,
  MARK_KINDS,
  MARK_VIEWS,
  MAX_POINTS,
  type Mark,
  type MarkEnd,
  type MarkKind,
  type MarkView,
  markMaps,
  readMarks,
  readStroke,
  removeMark,
  type Stroke,
} from './marks.ts';
export { movingDraft, type PlayedClip, type ShotTiming } from './moving-draft.ts';
export {
  type Attachment,
  addNote,
  addReply,
  askPerson,
  MAX_WORDS,
  type NewNote,
  NOTE_STATES,
  NOTE_WEIGHTS,
  type Note,
  type NoteReading,
  type NoteState,
  type NoteWeight,
  noteMaps,
  noteReading,
  type Reply,
  readNotes,
  readState,
  removeNote,
  SHARED_NOTE_FIELDS,
  setNoteState,
  stateStampKey,
  withoutReadings,
} from './notes.ts';
export {
  dropPicture,
  FOCAL_RANGE,
  PICTURE_VIEWS,
  type Picture,
  type PictureView,
  pictureKey,
  putPicture,
  readPictures,
  STATURE_RANGE,
  startMarks,
} from './pictures.ts';
export { nameOf, patchWord, pinLabel, segmentWord } from './pin-words.ts';
export { type Pin, pinnedGroup, pinnedThings, readPin, SIDES, type Side } from './pins.ts';
export {
  brokenField,
  type Camera,
  type Cursor,
  type Drag,
  type Ping,
  type Presence,
  readPresence,
  type WhatIf,
} from './presence.ts';
export {
  type Person,
  type Recorded,
  readHistory,
  readPeople,
  readSeals,
  readStamp,
  readStamps,
  recordMap,
  type SealRecord,
  type Stamp,
  toRecorded,
} from './record.ts';
export { notesCsv, shotsCsv } from './review-csv.ts';
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
  copyDraft,
  copyMotion,
  type Draft,
  draftEntries,
  orderBetween,
  putKeys,
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
  setClip,
  setDraftTitle,
  setDraftWords,
  setEntries,
  setReviewTitle,
  type Thing,
} from './scenes.ts';
export { draftHolding, isSealed, SEALED_FIELD, sealDraft } from './seals.ts';
export { bringList, type ListPlan, type ListSettings, planList } from './shot-list.ts';
export { applyState } from './shot-states.ts';
export {
  assignedFor,
  assignedName,
  fitsShotField,
  isDay,
  isOverdue,
  MAX_ASSIGNED,
} from './shot-terms.ts';
export { startScene } from './start-scene.ts';
export { dropRow, type Entries, overlaid, putRow, type Row, readRows, SEPARATOR } from './table.ts';
export { hasVisited, putVisit, readVisits, type Visit } from './visits.ts';
