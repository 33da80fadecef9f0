import { assess, study } from '../../core/balance/index.ts';
import { buildBody } from '../../core/body/index.ts';
import { fromAxisAngle, IDENTITY, multiply, type Vec3 } from '../../core/geometry/index.ts';
import { palmCentre, poseFigure, setJoint } from '../../core/pose/index.ts';
import type { Scene } from '../../core/scene/index.ts';
import { MEETING } from '../core/balance/pairs.ts';
import { box, FLOOR, figure, moved, posed, scene, standing } from '../core/balance/scenes.ts';
import { type BenchRow, type Spread, timed } from './rows.ts';

/** One figure with a foot on a step and a hand on a sill: contacts at three heights. */
function onThreeHeights(): Scene {
  const spec = { table: 'deleva-female', stature: 1.68, mass: 62 } as const;
  const body = buildBody(spec);
  const pose = posed(
    {
      trunk: 10,
      thighR: { flexion: 30 },
      shankR: { flexion: 35 },
      upperArmL: { flexion: 40 },
      forearmL: { flexion: 60 },
    },
    spec,
  );
  const { segments } = poseFigure(body, pose);
  const sole = body.patches.soleR.outline[0]![1];
  const [fx, fy, fz] = segments.footR.position;
  const [hx, hy, hz] = palmCentre({ body, segments, centre: [0, 0, 0] }, 'L');
  const top = (id: string, [x, y, z]: Vec3, size: number) =>
    box(id, [x, y / 2, z], [size, y, size]);
  return scene({
    surfaces: [FLOOR, top('step', [fx, fy + sole, fz + 0.1], 0.35), top('sill', [hx, hy, hz], 0.2)],
    figures: [
      figure('a', pose, {
        body: spec,
        contacts: {
          ...{ soleL: 'planted', toesL: 'planted', soleR: 'planted', toesR: 'planted' },
          ...{ palmL: 'planted', forearmL: 'lifted' },
        },
      }),
    ],
  });
}

const STEPS = onThreeHeights();
const FLAT = scene({ figures: [figure('a', standing())] });

/** The first figure with its right arm turned a little: nothing that touches moves. */
function armTurned(made: Scene, i: number): Scene {
  const [first, ...rest] = made.figures;
  const turn = fromAxisAngle([1, 0, 0], 1e-4 * ((i % 997) + 1));
  const joint = made === MEETING ? 'head' : 'upperArmR';
  const pose = setJoint(first!.pose, joint, multiply(turn, first!.pose.joints[joint] ?? IDENTITY));
  return { ...made, figures: [{ ...first!, pose }, ...rest] };
}

/** Everything shifted on the floor, contacts and all, so that nothing can be kept. */
function shifted(made: Scene, i: number): Scene {
  const by = 1e-6 * ((i % 9973) + 1);
  return {
    ...made,
    figures: made.figures.map((f) => ({ ...f, pose: moved(f.pose, [by, 0, by]) })),
  };
}

/** A study of two figures hand in hand; drags that leave the contacts against drags that move them. */
export async function run(): Promise<BenchRow[]> {
  const { support } = assess(STEPS).groups[0]!;
  if (support.basis !== 'region' || support.contacts.length !== 5)
    throw new Error(`the scene lost its heights: ${support.basis}, ${support.contacts}`);
  const [flat, flatDrag] = timed([
    (i) => assess(shifted(FLAT, i)),
    (i) => assess(armTurned(FLAT, i)),
  ]) as [Spread, Spread];
  const [full, drag] = timed([
    (i) => assess(shifted(STEPS, i)),
    (i) => assess(armTurned(STEPS, i)),
  ]) as [Spread, Spread];
  const [fullPair, dragPair] = timed(
    [(i) => assess(shifted(MEETING, i)), (i) => assess(armTurned(MEETING, i))],
    { rounds: 200, batchMs: 10 },
  ) as [Spread, Spread];
  const [whole] = timed([() => study(MEETING)], { rounds: 15, batchMs: 50, warmUpMs: 3000 }) as [
    Spread,
  ];
  const [alone] = timed([() => study(STEPS)], { rounds: 15, batchMs: 50, warmUpMs: 2000 }) as [
    Spread,
  ];
  const row = (name: string, value: number, base?: number, peer?: string): BenchRow => ({
    name,
    value,
    unit: 'us',
    ...(base === undefined || peer === undefined ? {} : { ratio: value / base, peer }),
  });
  return [
    row('assess, figure on the floor, all moved, median', flat.median),
    row('assess, the same, a free arm dragged, median', flatDrag.median, flat.median, 'all moved'),
    row('assess, figure on three heights, all moved, median', full.median),
    row('assess, the same, a free arm dragged, median', drag.median, full.median, 'all moved'),
    row('assess, two hand in hand, all moved, median', fullPair.median),
    row('assess, the same, one head turned, median', dragPair.median, fullPair.median, 'all moved'),
    row('study, one figure on three heights, median', alone.median),
    row('study, two hand in hand, median', whole.median),
  ];
}
