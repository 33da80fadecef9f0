export {
  ApiError,
  addInvite,
  type Invite,
  openCall,
  readInvites,
  readMyAnswer,
  removeInvite,
  removePerson,
  renameMe,
  sendAnswer,
  showCall,
  takeCallBack,
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
