import { type BalanceReport, HEADINGS, mainGroup } from '../balance/index.ts';
import { buildBody } from '../body/index.ts';
import type { Scene } from '../scene/types.ts';
import type { Truth } from './calls.ts';
import { asOneOf } from './decode.ts';

/** What a report says of the group that a shot's badge is about, as a call is held against it. */
export function truthOf(scene: Scene, report: BalanceReport): Truth {
  const group = mainGroup(report);
  const figure = scene.figures.find(({ id }) => group?.members.includes(id));
  return {
    verdict: group?.verdict ?? 'unknown',
    centre: group?.centre ?? null,
    margin: group?.margin?.distance ?? null,
    heading: asOneOf(group?.margin?.heading, HEADINGS),
    footLength: figure === undefined ? null : buildBody(figure.body).footLength,
    sentence: group?.sentence ?? '',
  };
}
