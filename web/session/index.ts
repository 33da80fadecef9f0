export {
  ApiError,
  addInvite,
  type Invite,
  readInvites,
  removeInvite,
  removePerson,
  renameMe,
} from './api.ts';
export { FollowedDraft } from './live-draft.ts';
export { ReviewSession } from './review-session.ts';
export {
  type BenchProperties,
  type ClipState,
  type LiveDraft,
  type Mover,
  type Other,
  type SavedState,
  type SelectDetail,
  type Session,
  type Showing,
  type Supposed,
  USER_ORIGIN,
} from './types.ts';
