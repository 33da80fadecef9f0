import { mainGroup } from '../../core/balance/index.ts';
import type { LiveDraft } from '../session/index.ts';

/** A group whose margins the strip can show. */
export interface GroupChoice {
  /** A figure of the group; null: the main group, whichever that is at a frame. */
  readonly figure: string | null;
  /** Names of its figures. */
  readonly name: string;
}

/** The groups with figures at the frame shown, the main one first; none where there is only one. */
export function groupChoices({ report, scene }: LiveDraft): readonly GroupChoice[] {
  const main = mainGroup(report);
  const choices = report.groups.flatMap((group): GroupChoice[] => {
    const figures = scene.figures.filter(({ id }) => group.members.includes(id));
    const [first] = figures;
    if (first === undefined) return [];
    const name = figures.map((figure) => figure.name).join(' and ');
    return [{ figure: group === main ? null : first.id, name }];
  });
  if (choices.length < 2) return [];
  return choices.sort((a, b) => Number(b.figure === null) - Number(a.figure === null));
}
