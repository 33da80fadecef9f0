import type { BalanceReport, GroupReading } from './types.ts';

/**
 * The group that one badge of a scene is about: the first one with a figure (groups are sorted by id,
 * and a load that stands by itself is a group too), else the first; undefined in an empty scene.
 */
export const mainGroup = (report: BalanceReport): GroupReading | undefined =>
  report.groups.find(({ id }) => report.figures.some(({ group }) => group === id)) ??
  report.groups[0];
