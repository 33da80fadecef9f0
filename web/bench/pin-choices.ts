import { type BalanceReport, mainGroup } from '../../core/balance/index.ts';
import { type PictureView, type Pin, SIDES } from '../../core/document/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { samePin } from './words.ts';

/** Pins that a note can be given, under the thing that they belong to. */
export interface PinChoices {
  readonly title: string;
  readonly pins: readonly Pin[];
}

/**
 * Everything that a note can be about, the selected thing first: the way to a pin by keyboard.
 * @param frame the frame shown as the shot counts, null where it is one pose
 * @param pictures views behind which the draft has a reference
 */
export function pinChoices(
  scene: Scene,
  report: BalanceReport,
  selection: Pin | null,
  frame: number | null,
  pictures: Iterable<PictureView> = [],
): PinChoices[] {
  const chosen = selectedPins(selection);
  const choices: PinChoices[] = [
    { title: 'Selected', pins: chosen },
    {
      title: 'All of it',
      pins: [
        { kind: 'shot' },
        ...(frame === null ? [] : [{ kind: 'frames', from: frame, to: frame } as const]),
        pointAt(report),
        ...[...pictures].map((view): Pin => ({ kind: 'reference', view, at: [0.5, 0.5] })),
      ],
    },
    ...scene.figures.map(({ id, name }) => ({
      title: name,
      pins: [
        { kind: 'plumb', figure: id } as const,
        ...SIDES.map((side): Pin => ({ kind: 'edge', figure: id, side })),
        ...report.contacts
          .filter(({ owner }) => owner === id)
          .map((contact): Pin => ({ kind: 'contact', contact: contact.id })),
      ],
    })),
    { title: 'Loads', pins: scene.loads.map(({ id }) => ({ kind: 'load', load: id })) },
    { title: 'Grips', pins: scene.grips.map(({ id }) => ({ kind: 'grip', grip: id })) },
  ];
  return choices
    .map(({ title, pins }, at) => ({
      title,
      pins: at === 0 ? pins : pins.filter((pin) => !chosen.some((other) => samePin(pin, other))),
    }))
    .filter(({ pins }) => pins.length > 0);
}

/** A selected joint can be meant as the joint or as the part behind it. */
function selectedPins(selection: Pin | null): Pin[] {
  if (selection === null || selection.kind === 'shot') return [];
  if (selection.kind !== 'joint' && selection.kind !== 'segment') return [selection];
  const { figure, segment } = selection;
  return [
    { kind: 'joint', figure, segment },
    { kind: 'segment', figure, segment },
  ];
}

/** A free point begins at the centre, from where it can be moved. */
function pointAt(report: BalanceReport): Pin {
  const centre = mainGroup(report)?.centre ?? null;
  const round = (metres: number): number => Math.round(metres * 100) / 100;
  return {
    kind: 'point',
    point: centre === null ? [0, 1, 0] : [round(centre[0]), round(centre[1]), round(centre[2])],
  };
}
