import loadHighs, { type Highs } from 'highs';
import type { ContactPoint } from '../../core/balance/region/index.ts';
import { coneGenerators } from '../../core/balance/region/index.ts';
import { normalise, type Vec3 } from '../../core/geometry/index.ts';

/** Answers of the reference solver about one set of contacts. */
export interface HighsRegion {
  /** Largest u . (c_x, c_z) over the region, metres; null where there is no end or no region. */
  support(
    ux: number,
    uz: number,
  ): { readonly status: 'optimal' | 'unbounded' | 'infeasible'; readonly value: number };
  close(): void;
}

let loading: Promise<Highs> | undefined;

/**
 * The region's support function by direct linear programs in HiGHS (MIT licence, a dual simplex that
 * shares no code with ours), in another formulation: all six balance rows with moments about the
 * world origin, the place of the centre as two free unknowns, cones as explicit columns.
 */
export async function highsRegion(
  contacts: readonly ContactPoint[],
  edges: number,
  side: 'inner' | 'outer' = 'inner',
): Promise<HighsRegion> {
  loading ??= loadHighs();
  const highs = await loading;
  const starts: number[] = [];
  const indices: number[] = [];
  const values: number[] = [];
  const column = (entries: readonly (readonly [number, number])[]) => {
    starts.push(indices.length);
    for (const [row, value] of entries)
      if (value !== 0) {
        indices.push(row);
        values.push(value);
      }
  };
  const patches = new Map<string, number>();
  const caps: number[] = [];
  const capOf = contacts.map((contact, i) => {
    if (contact.cap === undefined) return -1;
    const key = contact.patch ?? `#${i}`;
    if (!patches.has(key)) {
      patches.set(key, caps.length);
      caps.push(contact.cap);
    }
    return patches.get(key)!;
  });
  // Moment of the weight: (c - 0) x (0, 1, 0) = (-c_z, 0, c_x).
  column([[5, -1]]);
  column([[3, 1]]);
  contacts.forEach((contact, i) => {
    const [x, y, z] = contact.point;
    const n = normalise(contact.normal);
    for (const g of coneGenerators(n, contact.friction, edges, side)) {
      const m: Vec3 = [y * g[2] - z * g[1], z * g[0] - x * g[2], x * g[1] - y * g[0]];
      const entries: [number, number][] = [...g, ...m].map((value, row) => [row, value]);
      if (capOf[i]! >= 0) entries.push([6 + capOf[i]!, 1]);
      column(entries);
    }
  });
  const count = starts.length;
  starts.push(indices.length);
  const rows = 6 + caps.length;
  const infinity = highs.infinity;
  const fixed = [0, 1, 0, 0, 0, 0];
  const free = (value: number) => Array.from({ length: count }, (_, j) => (j < 2 ? value : 0));
  const model = highs.createModel({
    numCols: count,
    numRows: rows,
    sense: highs.constants.objectiveSense.maximize,
    colCost: new Float64Array(count),
    colLower: free(-infinity),
    colUpper: new Array<number>(count).fill(infinity),
    rowLower: [...fixed, ...caps.map(() => -infinity)],
    rowUpper: [...fixed, ...caps],
    matrix: { format: 'csc', numRows: rows, numCols: count, starts, indices, values },
  });
  model.options.set({
    output_flag: false,
    presolve: 'off',
    solver: 'simplex',
    primal_feasibility_tolerance: 1e-9,
    dual_feasibility_tolerance: 1e-9,
  });
  const { modelStatus } = highs.constants;
  return {
    support: (ux, uz) => {
      model.changeColCost(0, ux);
      model.changeColCost(1, uz);
      model.run();
      const status = model.getModelStatus();
      if (status === modelStatus.optimal)
        return { status: 'optimal', value: model.getObjectiveValue() };
      const ended = status === modelStatus.infeasible ? 'infeasible' : 'unbounded';
      return { status: ended, value: Number.NaN };
    },
    close: () => model.dispose(),
  };
}
