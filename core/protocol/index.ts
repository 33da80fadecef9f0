export {
  CLOSE,
  MESSAGE_HELD,
  MESSAGE_RECENT,
  MESSAGE_REFUSED,
  MESSAGE_SAVED,
  RECENT,
} from './messages.ts';
export { DOCUMENTS, type DocumentName, mayWrite, ROLES, type Role } from './roles.ts';
