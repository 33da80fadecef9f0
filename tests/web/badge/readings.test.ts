import { describe, expect, it } from 'vitest';
import { assess, mainGroup } from '../../../core/balance/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { keyByTheWall } from '../../../demo-data/shots/key-0030.ts';
import { oneStays } from '../../../demo-data/shots/ltg-0080.ts';
import { badgeReadings } from '../../../web/badge/readings.ts';
import { bentScene } from '../../helpers/small-review.ts';

const last = (shot: { readonly drafts: readonly { readonly scene: Scene }[] }): Scene =>
  shot.drafts.at(-1)!.scene;

function told(scene: Scene) {
  const report = assess(scene);
  const { groups, alone, byThemselves } = badgeReadings(scene, report);
  return {
    groups: groups.map(({ members }) => members),
    alone: alone.map(({ figure }) => figure),
    byThemselves: byThemselves.map(({ members }) => members),
    main: mainGroup(report)?.members,
  };
}

describe('the badges over a drawing', () => {
  it('tell of a figure in full, and of what lies by itself in a line', () => {
    const scene = last(keyByTheWall);
    const [figure] = scene.figures.map(({ id }) => id);
    const [load] = scene.loads.map(({ id }) => id);
    expect(told(scene)).toEqual({
      groups: [[figure]],
      alone: [],
      byThemselves: [[load]],
      main: [figure],
    });
  });

  it('tell of two who hold each other together, and of each alone', () => {
    const scene = last(oneStays);
    const figures = scene.figures.map(({ id }) => id).sort();
    const { groups, alone, byThemselves } = told(scene);
    expect(groups.map((members) => [...members].sort())).toEqual([figures]);
    expect([...alone].sort()).toEqual(figures);
    expect(byThemselves).toEqual([]);
  });

  it('tell of two who stand apart once each', () => {
    const [one] = bentScene(0).figures;
    const other = {
      ...one!,
      id: 'other',
      pose: { ...one!.pose, position: [2, one!.pose.position[1], 0] as const },
    };
    const scene: Scene = { ...bentScene(0), figures: [one!, other] };
    const { groups, alone } = told(scene);
    expect(groups).toHaveLength(2);
    expect(alone).toEqual([]);
  });
});
