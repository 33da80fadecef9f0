import { assess } from '../../core/balance/index.ts';
import { STRATEGIES, type Strategy, wayBack } from '../../core/balance/ways-back/index.ts';
import { demoReview } from '../../demo-data/index.ts';
import { type BenchRow, spread } from './rows.ts';

const ROUNDS = 12;

/**
 * Every way back of every draft of the demo that does not hold, whether it can mend it or not. Aim: each
 * under 50 ms.
 */
export async function run(): Promise<BenchRow[]> {
  const cases = demoReview().shots.flatMap(({ code, drafts }) =>
    drafts.flatMap(({ scene }, i) => {
      const { groups, figures } = assess(scene);
      const lost = new Set(groups.filter(({ verdict }) => verdict !== 'holds').map(({ id }) => id));
      return figures
        .filter(({ group }) => lost.has(group))
        .map(({ figure }) => ({ name: `${code} draft ${i + 1}, ${figure}`, scene, figure }));
    }),
  );
  const times = new Map<Strategy, number[]>(STRATEGIES.map((name) => [name, []]));
  let slowest = { name: '', ms: 0 };
  for (const { name, scene, figure } of cases)
    for (const strategy of STRATEGIES) {
      const own: number[] = [];
      for (let round = 0; round < ROUNDS; round++) {
        const start = performance.now();
        wayBack(scene, figure, strategy);
        own.push(performance.now() - start);
      }
      const { median } = spread(own);
      times.get(strategy)!.push(median);
      if (median > slowest.ms) slowest = { name: `${strategy}, ${name}`, ms: median };
    }
  return [
    ...STRATEGIES.flatMap((strategy): BenchRow[] => {
      const { median, p95 } = spread(times.get(strategy)!);
      return [
        { name: `${strategy}: median of the drafts`, value: median, unit: 'ms' },
        { name: `${strategy}: slowest of the drafts`, value: Math.max(p95, median), unit: 'ms' },
      ];
    }),
    { name: `slowest: ${slowest.name}`, value: slowest.ms, unit: 'ms' },
  ];
}
