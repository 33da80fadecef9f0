import { buildBody } from '../../core/body/index.ts';
import { toPlan, type Vec3 } from '../../core/geometry/index.ts';
import {
  palmLocal,
  pointOn,
  poseFigure,
  restPose,
  type SolveProblem,
  solveReach,
} from '../../core/pose/index.ts';
import { seeded } from '../core/geometry/random.ts';
import { type BenchRow, type Spread, timed } from './rows.ts';

const PROBLEMS = 64;

/**
 * Full-body reach from standing, each time from the start of a drag: both soles planted with their turn
 * (2 constraints), both hands dragged (2 more); then the same with the plumb line kept, a drag that
 * follows the last frame, and a hand out of reach. Aim: 4 constraints under 1.5 ms median.
 */
export async function run(): Promise<BenchRow[]> {
  const body = buildBody({ table: 'deleva-female', stature: 1.66, mass: 60 });
  const start = restPose(body);
  const posed = poseFigure(body, start);
  const random = seeded(5);
  const palm = (side: 'L' | 'R') => palmLocal(body, side);
  const planted = [
    { segment: 'footL', turn: true },
    { segment: 'footR', turn: true },
  ] as const;
  const hand = (side: 'L' | 'R', way: number): Vec3 => {
    const [x, y, z] = pointOn(posed, `hand${side}`, palm(side));
    return [x + way * (random() - 0.3) * 0.4, y + random() * 0.6, z + random() * 0.5];
  };
  const goal = (side: 'L' | 'R', target: Vec3) =>
    ({ segment: `hand${side}`, point: palm(side), target }) as const;
  const four = Array.from(
    { length: PROBLEMS },
    (): SolveProblem => ({
      goals: [goal('L', hand('L', 1)), goal('R', hand('R', -1))],
      planted,
    }),
  );
  const centre = { target: toPlan(posed.centre), keep: true };
  const kept = four.map((problem): SolveProblem => ({ ...problem, centre }));
  // A hand on a circle, one degree a frame: each solve begins at the last answer.
  let from = start;
  const followed = Array.from({ length: 360 }, (_, i): SolveProblem => {
    const a = (i * Math.PI) / 180;
    const target: Vec3 = [0.3 + 0.2 * Math.cos(a), 1.15 + 0.25 * Math.sin(a), 0.35];
    const problem: SolveProblem = { goals: [goal('L', target)], planted, from };
    from = solveReach(body, start, problem).pose;
    return problem;
  });
  const far = four.map(
    (problem): SolveProblem => ({
      ...problem,
      goals: [goal('L', [random() - 0.5, 1 + random(), 1.5])],
    }),
  );

  const cases = [
    ['solveReach, 2 soles planted + 2 hands dragged', four],
    ['the same, plumb line kept', kept],
    ['2 soles planted + 1 hand, next frame of a drag', followed],
    ['2 soles planted + 1 hand, out of reach', far],
  ] as const;
  const times: Spread[] = timed(
    cases.map(
      ([, problems]) =>
        (i: number) =>
          solveReach(body, start, problems[i % problems.length]!),
    ),
    { rounds: 300, batchMs: 4 },
  );
  return cases.flatMap(([name], k) => [
    { name: `${name}, median`, value: times[k]!.median, unit: 'us' },
    { name: `${name}, p95`, value: times[k]!.p95, unit: 'us' },
  ]);
}
