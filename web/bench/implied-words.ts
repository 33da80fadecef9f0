import {
  type GroupStudy,
  type ImpliedAnswer,
  type ImpliedWeight,
  kilograms,
  type MassBand,
  type Study,
  type Told,
} from '../../core/balance/index.ts';
import type { Shown } from './shown.ts';
import { nameOf } from './words.ts';

/** What must be so for the pose to hold, as the bench says and draws it. */

/** The question about the mass of a load; null where nobody carries it or the study is not there yet. */
export const impliedOf = (study: Study | null, load: string): ImpliedWeight | null =>
  study?.groups.flatMap(({ implied }) => implied).find((one) => one.load === load) ?? null;

const MOST_SLIDER_KG = 300;
/** As the slider of a load that nobody carries. */
const LEAST_SLIDER_KG = 60;

/** Right end of the scale, whole kilograms: a little past all that it must show. */
export function scaleEnd(mass: number | null, answer: ImpliedAnswer | null): number {
  const ends = [mass ?? 0];
  if (answer !== null) {
    for (const band of [answer.holds, answer.teeters])
      if (band.kind === 'range') ends.push(band.least_kg, band.most_kg ?? 0);
    if (answer.centring.kind === 'mass') ends.push(answer.centring.mass_kg);
  }
  const most = Math.max(LEAST_SLIDER_KG, ...ends.map((kg) => kg * 1.15));
  const step = most > 100 ? 50 : 10;
  // What is set must be on the scale whatever it is; the rest may run off it.
  return Math.max(Math.min(MOST_SLIDER_KG, Math.ceil(most / step) * step), Math.ceil(mass ?? 0));
}

/** Where a band lies on a scale from 0 to its end, as shares; null where it does not meet the scale. */
export function bandOn(band: MassBand, end: number): { from: number; to: number } | null {
  if (band.kind === 'none' || band.least_kg > end) return null;
  return { from: band.least_kg / end, to: Math.min(1, (band.most_kg ?? end) / end) };
}

/** "none", "any", "any up to 46 kg", "12 to 46 kg", "12 kg or more". */
export function bandWords(band: MassBand): string {
  if (band.kind === 'none') return 'none';
  const { least_kg, most_kg } = band;
  const fromNothing = least_kg < 0.05;
  if (most_kg === null) return fromNothing ? 'any' : `${kilograms(least_kg)} or more`;
  if (fromNothing) return `any up to ${kilograms(most_kg)}`;
  return `${kilograms(least_kg).replace(' kg', '')} to ${kilograms(most_kg)}`;
}

/** One line of "what must be so": a name, its answer at the right, the sentence beneath. */
export interface MustRow {
  readonly name: string;
  readonly value: string;
  readonly sentence: string;
}

const centimetres = (metres: number | null): string =>
  metres === null ? 'any' : `${(metres * 100).toFixed(1)} cm`;

const row = <T>(name: string, answer: Told<T>, value: (told: T) => string): MustRow => ({
  name,
  value: answer.kind === 'told' ? value(answer) : 'cannot tell',
  sentence: answer.sentence,
});

/** Masses of loads and partners with which a group holds, and how far out loads may go. */
export function mustRows({ scene }: Shown, group: GroupStudy): readonly MustRow[] {
  return [
    ...group.implied.map(({ load, answer }) =>
      row(`weight of ${nameOf(scene, load)}`, answer, ({ holds }) => bandWords(holds)),
    ),
    ...group.partners.map(({ figure, answer }) =>
      row(`weight of ${nameOf(scene, figure)}`, answer, ({ holds }) => bandWords(holds)),
    ),
    ...group.reach.map(({ load, answer }) =>
      row(`${nameOf(scene, load)} farther out`, answer, ({ teeters_m, falls_m }) =>
        centimetres(teeters_m ?? falls_m),
      ),
    ),
  ];
}

/** What the slider says of where it stands: "holds", "teeters", "falls", or nothing without an answer. */
export function standsAt(mass: number, answer: ImpliedAnswer | null): string {
  if (answer === null) return '';
  const inside = (band: MassBand): boolean =>
    band.kind === 'range' &&
    mass >= band.least_kg - 1e-6 &&
    (band.most_kg === null || mass <= band.most_kg + 1e-6);
  if (inside(answer.holds)) return 'holds';
  return inside(answer.teeters) ? 'teeters' : 'falls';
}

/** The answer of a load's question; null where it cannot be told. */
export const answerOf = (implied: ImpliedWeight | null): ImpliedAnswer | null =>
  implied?.answer.kind === 'told' ? implied.answer : null;
