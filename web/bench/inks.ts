import { Color } from 'three';
import type { Pin } from '../../core/document/index.ts';
import type { Other, Session } from '../session/index.ts';
import { tokenColour } from '../styles/room.ts';
import { selectionPin } from './selecting.ts';

/** Share of a selection's ink in the tint of the selected part. */
const TINT = 0.5;

/** Whose ink is on what of the model. */
export interface Inks {
  /** Tints of selected segments, by `figure/segment`. */
  readonly tints: ReadonlyMap<string, Color>;
  /** Outlines of figures that somebody else moves or has selected, by id. */
  readonly outlines: ReadonlyMap<string, Color>;
  /** Changes whenever any of it does. */
  readonly key: string;
}

const personColour = (ink: number): string => tokenColour(`--person-${ink % 12}`);

/** Selected segments in the inks of those who selected them, and figures outlined in their holder's ink. */
export function inksOf(session: Session, others: readonly Other[], selection: Pin | null): Inks {
  const tints = new Map<string, Color>();
  const outlines = new Map<string, Color>();
  const plain = new Color(tokenColour('--figure'));
  const tint = (pin: Pin | null, colour: string): string | null => {
    if (pin?.kind !== 'joint' && pin?.kind !== 'segment') return null;
    tints.set(`${pin.figure}/${pin.segment}`, plain.clone().lerp(new Color(colour), TINT));
    return pin.figure;
  };
  for (const { selection: theirs, ink, drag } of others) {
    const colour = personColour(ink);
    const chosen = tint(selectionPin(theirs), colour);
    const moved = Object.keys(drag?.entries ?? {}).flatMap((key) => {
      const [kind, id] = key.split('/');
      return kind === 'figure' && id !== undefined ? [id] : [];
    });
    for (const figure of chosen === null ? moved : [chosen, ...moved])
      outlines.set(figure, new Color(colour));
  }
  tint(selection, personColour(session.me.ink));
  const key = [...tints, ...outlines].map(([part, ink]) => part + ink.getHexString()).join();
  return { tints, outlines, key };
}
