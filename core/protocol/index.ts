export { CLOSE, MESSAGE_HELD, MESSAGE_REFUSED, MESSAGE_SAVED } from './messages.ts';
export { DOCUMENTS, type DocumentName, mayWrite, ROLES, type Role } from './roles.ts';
