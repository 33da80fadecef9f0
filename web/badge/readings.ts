import type { BalanceReport, FigureReading, GroupReading } from '../../core/balance/index.ts';
import type { Scene } from '../../core/scene/index.ts';

/** What the badges over a drawing tell of. */
export interface BadgeReadings {
  /** Groups with figures: a badge in full for each. */
  readonly groups: readonly GroupReading[];
  /** Figures of groups with several: a line for each as it would stand alone. */
  readonly alone: readonly FigureReading[];
  /** Groups of loads only, such as a key on the floor: weighed too, but the shot is about who stands. */
  readonly byThemselves: readonly GroupReading[];
}

export function badgeReadings(scene: Scene, { groups, figures }: BalanceReport): BadgeReadings {
  const isFigure = (id: string): boolean => scene.figures.some((figure) => figure.id === id);
  const crowd = (group: GroupReading): number => group.members.filter(isFigure).length;
  const shared = groups.filter((group) => crowd(group) > 1).map(({ id }) => id);
  return {
    groups: groups.filter((group) => crowd(group) > 0),
    alone: figures.filter(({ group }) => shared.includes(group)),
    byThemselves: groups.filter((group) => crowd(group) === 0),
  };
}
