export { findContacts } from './find-contacts.ts';
export { type GroundBelow, groundBelow } from './ground-below.ts';
export { BODY_FRICTION, LOAD_FRICTION } from './members.ts';
export { HARD_TOUCH, SOFT_TOUCH } from './touch.ts';
export type { Carrier, Contact } from './types.ts';
