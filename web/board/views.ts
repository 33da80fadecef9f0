import type { Shot } from '../../core/document/index.ts';
import type { BoardFacts } from './facts.ts';

/** What the board can be narrowed to. */
export type View = 'all' | 'falling' | 'for-review' | 'retake' | 'noted';

export const VIEWS: readonly { readonly view: View; readonly word: string }[] = [
  { view: 'all', word: 'All shots' },
  { view: 'falling', word: 'Fall or teeter' },
  { view: 'for-review', word: 'For review' },
  { view: 'retake', word: 'Retake' },
  { view: 'noted', word: 'With open notes' },
];

/** Whether a shot belongs to a view; verdicts are those that the server recorded last. */
export function inView(view: View, shot: Shot, facts: BoardFacts): boolean {
  if (view === 'all') return true;
  if (view === 'noted') return (facts.openNotes.get(shot.id) ?? 0) > 0;
  if (view !== 'falling') return shot.state === view;
  const current = facts.drafts.get(shot.id)?.at(-1);
  const verdict = current ? facts.history.get(current.id)?.verdict : undefined;
  return verdict === 'falls' || verdict === 'teeters';
}
