import {
  closedHands,
  handSets,
  handsLetGo,
  lettingGo,
  outcomeOf,
} from '../../core/balance/index.ts';
import {
  contactKey,
  draftEntries,
  gripKey,
  letGoEntries,
  readShots,
} from '../../core/document/index.ts';
import type { GripEnd, Scene } from '../../core/scene/index.ts';
import type { LiveDraft, Supposed } from '../session/index.ts';
import { freshId } from './adding.ts';
import { nameOf, sayList, segmentWord } from './words.ts';

/** The scene that is shown with its holds as they are stored: without anybody's what-if. */
export function asStored({ scene, supposed, session, draft }: LiveDraft): Scene {
  if (supposed.length === 0) return scene;
  const stored = draftEntries(session.documents.scenes, draft);
  const isOpen = (grip: string): boolean => stored.get(gripKey(grip, 'open')) === true;
  const lifted = letGoEntries(
    stored,
    supposed.flatMap(({ open }) => open),
  );
  return {
    ...scene,
    grips: scene.grips.map((grip) => ({ ...grip, open: isOpen(grip.id) })),
    figures: scene.figures.map((figure) => {
      const closed = (['palmL', 'palmR'] as const).filter(
        (palm) => contactKey(figure.id, palm) in lifted,
      );
      if (closed.length === 0) return figure;
      const gripping = Object.fromEntries(closed.map((palm) => [palm, 'gripping'] as const));
      return { ...figure, contacts: { ...figure.contacts, ...gripping } };
    }),
  };
}

/** Shows everybody what comes of it when these holds let go; takes the place of my last what-if. */
export function suppose({ session, draft }: LiveDraft, open: readonly string[]): void {
  session.show({ whatIf: { id: freshId(), draft, open } });
}

/** Whether I may end a what-if: my own, or anybody's as a lead. */
export const mayEnd = ({ session }: LiveDraft, { mine }: Supposed): boolean =>
  mine || session.me.role === 'lead';

export function endSupposed({ session }: LiveDraft, { id, mine }: Supposed): void {
  session.show(mine ? { whatIf: null } : { ends: id });
}

/** "Aunt and Harvest boy let go of each other", "Pim lets go of Rail": what a what-if supposes. */
export function supposedWords(scene: Scene, open: readonly string[]): string {
  const hands = handSets(closedHands(scene)).flatMap((set) => {
    const going = set.filter(({ id }) => open.includes(id));
    return going.length === 0 ? [] : [handsLetGo(scene, going, going.length === set.length)];
  });
  const grips = scene.grips.some(({ id }) => open.includes(id)) ? [gripsLetGo(scene, open)] : [];
  return sayList([...grips, ...hands]);
}

function gripsLetGo(scene: Scene, open: readonly string[]): string {
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

/** What comes of it, without who lets go; empty where nothing was held. */
export function outcomeWords(scene: Scene, open: readonly string[], rate: number): string {
  const parts = lettingGo(scene, open, rate);
  return parts === null ? '' : outcomeOf(parts);
}
