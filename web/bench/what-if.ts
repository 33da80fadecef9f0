import { lettingGo } from '../../core/balance/index.ts';
import { draftEntries, gripKey, readShots } from '../../core/document/index.ts';
import type { GripEnd, Scene } from '../../core/scene/index.ts';
import type { LiveDraft, Supposed } from '../session/index.ts';
import { freshId } from './adding.ts';
import { nameOf, sayList, segmentWord } from './words.ts';

/** The scene that is shown with its grips as they are stored: without anybody's what-if. */
export function asStored({ scene, supposed, session, draft }: LiveDraft): Scene {
  if (supposed.length === 0) return scene;
  const stored = draftEntries(session.documents.scenes, draft);
  const isOpen = (grip: string): boolean => stored.get(gripKey(grip, 'open')) === true;
  return { ...scene, grips: scene.grips.map((grip) => ({ ...grip, open: isOpen(grip.id) })) };
}

/** Shows everybody what comes of it when these grips let go; takes the place of my last what-if. */
export function suppose({ session, draft }: LiveDraft, open: readonly string[]): void {
  session.show({ whatIf: { id: freshId(), draft, open } });
}

/** Whether I may end a what-if: my own, or anybody's as a lead. */
export const mayEnd = ({ session }: LiveDraft, { mine }: Supposed): boolean =>
  mine || session.me.role === 'lead';

export function endSupposed({ session }: LiveDraft, { id, mine }: Supposed): void {
  session.show(mine ? { whatIf: null } : { ends: id });
}

/** "Aunt and Harvest boy let go of each other": what a what-if supposes. */
export function supposedWords(scene: Scene, open: readonly string[]): string {
  const grips = scene.grips.filter(({ id }) => open.includes(id));
  const name = (end: GripEnd): string =>
    nameOf(scene, end.kind === 'figure' ? end.figure : end.load);
  const pairs = new Set(grips.map(({ a, b }) => `${name(a)} and ${name(b)}`));
  const [only] = pairs;
  if (pairs.size !== 1 || only === undefined) return `${sayList([...pairs])} let go`;
  const rest = scene.grips.filter(
    (grip) =>
      !grip.open && !open.includes(grip.id) && `${name(grip.a)} and ${name(grip.b)}` === only,
  );
  return rest.length === 0
    ? `${only} let go of each other`
    : `${only} let go of ${gripWords(scene, grips[0]!.id)}`;
}

/** "right hand of Aunt, left hand of Harvest boy": one grip by its ends. */
export function gripWords(scene: Scene, id: string): string {
  const grip = scene.grips.find((one) => one.id === id);
  if (grip === undefined) return 'a grip';
  const end = (it: GripEnd): string =>
    it.kind === 'load'
      ? nameOf(scene, it.load)
      : `${segmentWord(it.segment)} of ${nameOf(scene, it.figure)}`;
  return `${end(grip.a)} at ${end(grip.b)}`;
}

/** Frames a second of the shot, in which times are told. */
export const rateOf = ({ session, shot }: LiveDraft): number =>
  readShots(session.documents.scenes).find(({ id }) => id === shot)?.rate ?? 24;

/** After this a sentence of letting go says what comes of it. */
const SAID = ' let go: ';

/** What comes of it, without who lets go; empty where nothing was held. */
export function outcomeWords(scene: Scene, open: readonly string[], rate: number): string {
  const told = lettingGo(scene, open, rate);
  return told === null ? '' : told.sentence.slice(told.sentence.indexOf(SAID) + SAID.length);
}
