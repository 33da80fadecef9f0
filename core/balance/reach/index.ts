export { handleAt } from './handles.ts';
export { takeHold } from './reach.ts';
export {
  type Grab,
  HANDLES,
  type Handle,
  type Reached,
  type Reaching,
  type ReachSettings,
} from './types.ts';
