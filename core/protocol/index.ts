export {
  CLOSE,
  MESSAGE_HELD,
  MESSAGE_REFUSED,
  MESSAGE_SAVED,
  MESSAGE_SENT_ON,
} from './messages.ts';
export { DOCUMENTS, type DocumentName, mayWrite, ROLES, type Role } from './roles.ts';
