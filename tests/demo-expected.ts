import type { BalanceReport, FigureReading, GroupReading, Verdict } from '../core/balance/index.ts';

export type Seen = GroupReading | FigureReading;

export interface Expected {
  /** Code and draft, e.g. "SLT-0040 1". */
  readonly draft: string;
  /** A figure alone; left out: its group (the first with a figure). */
  readonly alone?: string;
  readonly verdict?: Verdict;
  /** Where the line lands along the foot, %. */
  readonly foot?: number;
  /** Distance to the edge in cm, negative outside. */
  readonly margin?: number;
  /** Any other length that the outcome names, cm. */
  readonly length?: readonly [
    name: string,
    of: (seen: Seen, report: BalanceReport) => number,
    cm: number,
  ];
}

/*
 * What each draft must come to. Source: a planar reckoning of our own made before this body existed
 * (men's and women's de Leva 1996 tables, stiff trunk, flat feet; no arms before or behind the
 * trunk); the demo's brief sets the tolerance of 2 % of the foot and 1 cm. Verdicts: "holdable" is
 * 10-80 % of the foot there; here it is the published functional outline, so a line near its border
 * may come to another verdict, which is then the one named here.
 */
export const FOOT_TOLERANCE = 2;
export const CM_TOLERANCE = 1;

const z = ({ plumb }: Seen): number => (plumb?.[1] ?? Number.NaN) * 100;
const height = ({ centre }: Seen): number => (centre?.[1] ?? Number.NaN) * 100;
const toesAhead = (seen: Seen): number =>
  Math.max(...seen.support.polygon.map((point) => point[1])) * 100 - z(seen);
const fromRightAnkle = ({ plumb }: Seen): number => Math.abs(plumb?.[0] ?? Number.NaN) * 100;

export const EXPECTED: readonly Expected[] = [
  { draft: 'SLT-0040 1', foot: -1, margin: -0.2, verdict: 'falls' },
  { draft: 'SLT-0040 2', foot: 10, verdict: 'teeters' },
  { draft: 'SLT-0040 3', foot: 33, verdict: 'holds' },
  { draft: 'SLT-0040 4', foot: 47, verdict: 'holds' },

  { draft: 'PUL-0010 1', verdict: 'falls' },
  { draft: 'PUL-0010 2', length: ['line before his ankles', z, 21], verdict: 'holds' },
  { draft: 'PUL-0010 2', alone: 'lockman', margin: -11, verdict: 'held' },
  { draft: 'PUL-0010 2', alone: 'millgirl', margin: -21, verdict: 'held' },

  { draft: 'DIP-0070 1', foot: 162, margin: -17, verdict: 'falls' },
  { draft: 'DIP-0070 1', alone: 'he', foot: 80 },
  { draft: 'DIP-0070 2', foot: 35, verdict: 'holds' },
  { draft: 'DIP-0070 2', alone: 'he', foot: -31, verdict: 'held' },
  { draft: 'DIP-0070 3', length: ['line before the rear ankle', z, 92], verdict: 'holds' },
  {
    draft: 'DIP-0070 3',
    alone: 'he',
    length: ['line before the rear ankle', z, 71],
    verdict: 'holds',
  },

  { draft: 'CRT-0020 1', foot: 84, verdict: 'teeters' },
  { draft: 'CRT-0020 2', foot: 69, verdict: 'holds' },
  { draft: 'CRT-0020 3', foot: 65, verdict: 'holds' },
  { draft: 'CRT-0020 4', foot: 46, verdict: 'holds' },

  { draft: 'KEY-0030 1', foot: 123, margin: -6, verdict: 'falls' },
  { draft: 'KEY-0030 2', foot: 80 },
  { draft: 'KEY-0030 3', foot: 45, verdict: 'holds' },

  { draft: 'BEN-0110 1', foot: -70, margin: -18, verdict: 'falls' },
  { draft: 'BEN-0110 2', foot: -69, verdict: 'holds' },
  { draft: 'BEN-0110 3', foot: -9, verdict: 'holds' },
  { draft: 'BEN-0110 4', foot: 13 },
  { draft: 'BEN-0110 5', foot: 29, verdict: 'holds' },
  { draft: 'BEN-0110 6', foot: 25, verdict: 'holds' },
  { draft: 'BEN-0110 7', foot: 36, verdict: 'holds' },
  { draft: 'BEN-0115 1', foot: -69, verdict: 'holds' },
  { draft: 'BEN-0115 2', foot: -69, verdict: 'holds' },

  {
    draft: 'LMP-0060 1',
    margin: -3.9,
    length: ['line from the ankle', fromRightAnkle, 8.3],
    verdict: 'falls',
  },
  { draft: 'LMP-0060 2', margin: -6.6, verdict: 'falls' },
  {
    draft: 'LMP-0060 3',
    margin: 3,
    length: ['line from the ankle', fromRightAnkle, 1.3],
    verdict: 'holds',
  },
  {
    draft: 'LMP-0060 4',
    margin: 3,
    length: ['line from the ankle', fromRightAnkle, 1.3],
    verdict: 'holds',
  },

  { draft: 'LIN-0090 1', margin: 4.8 },
  { draft: 'LIN-0090 2', margin: 4.8, verdict: 'holds' },
  { draft: 'LIN-0090 3', margin: 4.8 - 2.5, verdict: 'holds' },
  { draft: 'LIN-0090 4', margin: 1 - 2.5, verdict: 'falls' },
  { draft: 'LIN-0090 5', margin: 1, verdict: 'holds' },

  { draft: 'NST-0050 1', foot: 104, verdict: 'falls' },
  { draft: 'NST-0050 2', foot: 85, verdict: 'teeters' },
  { draft: 'NST-0050 3', foot: 94, verdict: 'teeters' },
  { draft: 'NST-0050 4', foot: 103, verdict: 'falls' },
  { draft: 'NST-0050 5', foot: 55, verdict: 'holds' },
  { draft: 'NST-0050 6', foot: 76 },
  { draft: 'NST-0050 7', verdict: 'holds' },
  { draft: 'NST-0050 7', alone: 'gatherer', foot: 94 },

  // 55 N at 1.20 m tips her back and 68 N forward: 11.2 cm and 13.9 cm of room at 60 kg.
  {
    draft: 'GRD-0030 1',
    alone: 'guard',
    margin: 11.2,
    length: ['room to the toes', toesAhead, 13.9],
    verdict: 'holds',
  },
  // Centre at 0.79 m; 303 N and 106 N share the 70 cm between the edges as 52 and 18.
  { draft: 'GRD-0030 2', alone: 'guard', length: ['height of the centre', height, 79] },
  {
    draft: 'GRD-0030 2',
    alone: 'guard',
    length: ['room to the toes', toesAhead, 18.2],
    verdict: 'holds',
  },
  { draft: 'GRD-0030 3', alone: 'guard', margin: 1, verdict: 'teeters' },
  {
    draft: 'GRD-0030 3',
    alone: 'z-apprentice',
    length: ['height of the centre', height, 49 * 1.1],
  },

  // From here on: verdicts that the case itself asks for (common practice, no source).
  { draft: 'SCK-0035 1', verdict: 'unknown' },
  { draft: 'SCK-0035 2', verdict: 'unknown' },
  { draft: 'SCK-0035 3', verdict: 'holds' },

  { draft: 'SLP-0045 1', verdict: 'falls' },
  { draft: 'SLP-0045 2', verdict: 'holds' },
  { draft: 'SLP-0045 3', verdict: 'falls' },

  { draft: 'EQL-0075 1', verdict: 'falls' },
  { draft: 'EQL-0075 2', verdict: 'holds' },
  { draft: 'EQL-0075 2', alone: 'rider', verdict: 'held' },

  { draft: 'PUT-0065 1', verdict: 'holds' },
  { draft: 'PUT-0065 2', verdict: 'falls' },
  { draft: 'PUT-0065 3', verdict: 'holds' },

  { draft: 'LTG-0080 1', verdict: 'holds' },
  { draft: 'LTG-0080 1', alone: 'aunt', verdict: 'holds' },
  { draft: 'LTG-0080 1', alone: 'boy', verdict: 'held' },
  { draft: 'LTG-0080 2', verdict: 'teeters' },

  // The line is 2 cm beside the middle of a wire of 2 cm, less what the pole brings back.
  { draft: 'POL-0095 1', verdict: 'falls' },
  { draft: 'POL-0095 2', margin: 1, verdict: 'holds' },

  // Its big head goes back over short legs: behind the heels with the tail in the air, over three legs with it down.
  { draft: 'HOP-0055 1', margin: -8.3, verdict: 'falls' },
  { draft: 'HOP-0055 2', verdict: 'holds' },
  { draft: 'HOP-0055 3', foot: 31, verdict: 'holds' },

  { draft: 'ARM-0120 1', verdict: 'holds' },
  { draft: 'ARM-0120 2', verdict: 'falls' },
  { draft: 'ARM-0120 3', foot: 26, verdict: 'holds' },

  { draft: 'STP-0140 1', verdict: 'falls' },
  { draft: 'STP-0140 2', verdict: 'holds' },

  { draft: 'WAL-0015 1', verdict: 'holds' },
  { draft: 'WAL-0015 2', verdict: 'falls' },
  { draft: 'WAL-0015 3', verdict: 'holds' },
];

/** The job's cases (design.md), and what else a board must show, each with a draft that shows it. */
export const CASES: Readonly<Record<string, readonly string[]>> = {
  'heavy pack and forward lean': ['SLT-0040 1', 'SLT-0040 3'],
  'one figure carrying another': ['EQL-0075 1', 'EQL-0075 2'],
  'one figure holding another': ['DIP-0070 2', 'PUL-0010 2', 'LTG-0080 1'],
  'a light ball held out in front': ['PUT-0065 1'],
  'a heavy ball held out in front': ['PUT-0065 2'],
  'leaning back against a heavy lift': ['CRT-0020 4', 'PUT-0065 3'],
  'bending to the toes with hips going back': ['KEY-0030 1', 'KEY-0030 3'],
  'rising from a chair: seat and feet': ['BEN-0110 2'],
  'rising from a chair: hands on the arms': ['ARM-0120 1'],
  'rising from a chair: feet alone': ['ARM-0120 3', 'BEN-0110 7'],
  'one foot before the other': ['LIN-0090 2'],
  'a rope or beam': ['LIN-0090 4', 'POL-0095 2'],
  'one foot': ['LMP-0060 3'],
  'reaching over a ledge with the opposite leg raised': ['NST-0050 5'],
  'a crouched, wide stance': ['GRD-0030 2'],
  'a hand on a rail, a foot on a step': ['STP-0140 2'],
  'a push at a wall, a back against a wall': ['WAL-0015 1', 'WAL-0015 3'],
  'a slope': ['SLP-0045 2', 'SLP-0045 3'],
  'a load of unknown mass': ['SCK-0035 1'],
  'a stylised body whose tail is a third leg': ['HOP-0055 2'],
};
