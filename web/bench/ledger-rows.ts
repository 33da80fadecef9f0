import type { Shown } from './shown.ts';

/** One line of the weight ledger: masses in kilograms, heights in metres. */
export interface LedgerRow {
  readonly id: string;
  readonly name: string;
  /** Null where it is unknown. */
  readonly mass: number | null;
  /** Height of its mass centre above the floor. */
  readonly height: number | null;
  /** Of the whole; null while something's mass is unknown. */
  readonly share: number | null;
  /** A remark under the line; empty for none. */
  readonly note: string;
}

export interface LedgerSums {
  readonly rows: readonly LedgerRow[];
  readonly total: { readonly mass: number | null; readonly height: number | null };
}

/** The ledger's lines, figures first, and their sums; masses alone where the readings are hidden. */
export function ledgerRows(shown: Shown): LedgerSums {
  const { rows, total } = sums(shown);
  if (!shown.hidden) return { rows, total };
  return {
    rows: rows.map((row) => ({ ...row, height: null, share: null })),
    total: { ...total, height: null },
  };
}

function sums({ scene, report, posed }: Shown): LedgerSums {
  const figures = scene.figures.map(({ id, name, body }) => ({
    id,
    name,
    mass: body.mass as number | null,
    height: posed.get(id)?.centre[1] ?? null,
    note: '',
  }));
  const loads = scene.loads.map(({ id, name, mass }) => ({
    id,
    name,
    mass,
    height: report.loads[id]?.centre[1] ?? null,
    note: mass === null ? 'Set its mass to weigh the whole.' : '',
  }));
  const all = [...figures, ...loads];
  const known = all.every(({ mass }) => mass !== null);
  const mass = known ? all.reduce((sum, row) => sum + (row.mass ?? 0), 0) : null;
  const moment = all.reduce((sum, row) => sum + (row.mass ?? 0) * (row.height ?? 0), 0);
  return {
    rows: all.map((row) => ({
      ...row,
      share: mass === null || mass === 0 || row.mass === null ? null : row.mass / mass,
    })),
    total: { mass, height: mass === null || mass === 0 ? null : moment / mass },
  };
}
