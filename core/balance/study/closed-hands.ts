import type { PatchName } from '../../body/types.ts';
import type { Scene } from '../../scene/index.ts';
import { lookAt } from '../assess.ts';
import type { World } from '../linkage.ts';
import { partName } from '../sentence.ts';

/** A hand that has closed round a bar or over an edge: a hold that is no row of its own. */
export interface ClosedHand {
  /** `FIGURE/palmL`: the id of its contact, which no grip has. */
  readonly id: string;
  readonly figure: string;
  readonly patch: PatchName;
  /** Surface, or load, that it has closed round. */
  readonly round: string;
}

/** The hands of a scene that pull on what they have closed round, by id. */
export const closedHands = (scene: Scene): readonly ClosedHand[] =>
  // Most scenes have none, and finding contacts takes time.
  scene.figures.some(({ contacts }) => Object.values(contacts).includes('gripping'))
    ? handsOf(lookAt(scene).world)
    : [];

export function handsOf({ contacts }: Pick<World, 'contacts'>): readonly ClosedHand[] {
  const hands = new Map<string, ClosedHand>();
  for (const { owner, patch, surface, setting } of contacts) {
    if (setting !== 'gripping' || patch === 'underside') continue;
    const id = `${owner}/${patch}`;
    if (!hands.has(id)) hands.set(id, { id, figure: owner, patch, round: surface });
  }
  return [...hands.values()];
}

/** Hands by who has closed them and round what. */
export function handSets(hands: readonly ClosedHand[]): readonly (readonly ClosedHand[])[] {
  const sets = new Map<string, ClosedHand[]>();
  for (const hand of hands) {
    const key = `${hand.figure} ${hand.round}`;
    sets.set(key, [...(sets.get(key) ?? []), hand]);
  }
  return [...sets.values()];
}

/**
 * "Pim lets go of Rail", and for one hand of two "the left hand of Pim lets go of Rail".
 * @param hands of one figure round one thing
 * @param all whether these are all that it has round the thing
 */
export function handsLetGo(
  { figures, surfaces, loads }: Scene,
  hands: readonly ClosedHand[],
  all: boolean,
): string {
  const named = (list: readonly { readonly id: string; readonly name: string }[], id: string) =>
    list.find((one) => one.id === id)?.name ?? id;
  const { figure, patch, round } = hands[0]!;
  const name = named(figures, figure);
  const who = all ? name : `the ${partName(patch).replace('palm', 'hand')} of ${name}`;
  return `${who} lets go of ${named([...surfaces, ...loads, ...figures], round)}`;
}
