export { findContacts } from './find-contacts.ts';
export { HARD_TOUCH, SOFT_TOUCH } from './touch.ts';
export type { Contact } from './types.ts';
