import { type BalanceReport, mainGroup } from '../balance/index.ts';
import { SEGMENTS } from '../body/index.ts';
import { add, angleBetween, distance, type Quat, subtract, type Vec3 } from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import { type Figure, loadTransforms, posedFigures, type Scene } from '../scene/index.ts';
import type { Comparison, JointMove, LoadMove } from './types.ts';

/** Below these a joint has stayed as it was: half a degree, half a centimetre. */
const SAME_TURN = Math.PI / 360;
const SAME_PLACE = 0.005;

interface Weighed {
  readonly scene: Scene;
  readonly report: BalanceReport;
  readonly posed: ReadonlyMap<string, PosedFigure>;
}

const weighed = (scene: Scene, report: BalanceReport): Weighed => ({
  scene,
  report,
  posed: posedFigures(scene),
});

/**
 * Holds two scenes against each other, matched on the planted foot: of the first figure that stands in
 * both on the same foot, that foot lies on itself, and everything else is told from there. Pure.
 * Reports are those of `assess` for each scene.
 */
export function compareScenes(
  [first, firstReport]: readonly [Scene, BalanceReport],
  [second, secondReport]: readonly [Scene, BalanceReport],
): Comparison {
  const a = weighed(first, firstReport);
  const b = weighed(second, secondReport);
  const match = matchOf(a, b);
  const shift = match?.shift ?? [0, 0, 0];
  const groups = [mainGroup(a.report), mainGroup(b.report)] as const;
  const [before, after] = groups.map((group) => group?.centre ?? null);
  const [plumbBefore, plumbAfter] = groups.map((group) => group?.plumb ?? null);
  const laid = after == null ? null : add(after, shift);
  return {
    matched: match === null ? null : { figure: match.figure, foot: match.foot },
    shift,
    joints: a.scene.figures.flatMap((figure) => jointMoves(figure, a, b, shift)).sort(byTurn),
    loads: loadMoves(a, b, shift),
    onlyFirst: namesMissing(a.scene, b.scene),
    onlySecond: namesMissing(b.scene, a.scene),
    centre:
      before == null || laid === null
        ? null
        : { before, after: laid, moved: distance(before, laid) },
    plumb:
      plumbBefore == null || plumbAfter == null
        ? null
        : { before: plumbBefore, after: [plumbAfter[0] + shift[0], plumbAfter[1] + shift[2]] },
    margin: {
      before: groups[0]?.margin?.distance ?? null,
      after: groups[1]?.margin?.distance ?? null,
    },
    verdict:
      groups[0] === undefined || groups[1] === undefined
        ? null
        : { before: groups[0].verdict, after: groups[1].verdict },
  };
}

/** What lays the second scene on the first by a foot that carries weight in both; null where none does. */
export function footShift(
  [first, firstReport]: readonly [Scene, BalanceReport],
  [second, secondReport]: readonly [Scene, BalanceReport],
): Vec3 | null {
  return matchOf(weighed(first, firstReport), weighed(second, secondReport))?.shift ?? null;
}

function matchOf(
  a: Weighed,
  b: Weighed,
): { readonly figure: string; readonly foot: 'L' | 'R'; readonly shift: Vec3 } | null {
  for (const { id } of a.scene.figures) {
    const [posedA, posedB] = [a.posed.get(id), b.posed.get(id)];
    if (posedA === undefined || posedB === undefined) continue;
    for (const foot of ['L', 'R'] as const) {
      if (!carries(a.report, id, foot) || !carries(b.report, id, foot)) continue;
      const [at, to] = [posedB, posedA].map(({ segments }) => segments[`foot${foot}`].position);
      return { figure: id, foot, shift: subtract(to as Vec3, at as Vec3) };
    }
  }
  return null;
}

const carries = ({ contacts }: BalanceReport, figure: string, foot: 'L' | 'R'): boolean =>
  contacts.some(({ id }) => id === `${figure}/sole${foot}` || id === `${figure}/toes${foot}`);

function jointMoves(figure: Figure, a: Weighed, b: Weighed, shift: Vec3): JointMove[] {
  const other = b.scene.figures.find(({ id }) => id === figure.id);
  const [posedA, posedB] = [a.posed.get(figure.id), b.posed.get(figure.id)];
  if (other === undefined || posedA === undefined || posedB === undefined) return [];
  return SEGMENTS.map((segment): JointMove => {
    const turnIn = ({ pose }: Figure): Quat =>
      segment === 'pelvis' ? pose.rotation : (pose.joints[segment] ?? [0, 0, 0, 1]);
    const place = add(posedB.segments[segment].position, shift);
    return {
      figure: figure.id,
      name: figure.name,
      segment,
      turned: angleBetween(turnIn(figure), turnIn(other)),
      moved: distance(posedA.segments[segment].position, place),
    };
  }).filter(({ turned, moved }) => turned >= SAME_TURN || moved >= SAME_PLACE);
}

const byTurn = (a: JointMove, b: JointMove): number => b.turned - a.turned || b.moved - a.moved;

function loadMoves(a: Weighed, b: Weighed, shift: Vec3): LoadMove[] {
  const placesA = loadTransforms(a.scene, a.posed);
  const placesB = loadTransforms(b.scene, b.posed);
  return a.scene.loads.flatMap((load) => {
    const other = b.scene.loads.find(({ id }) => id === load.id);
    const [at, to] = [placesA.get(load.id), placesB.get(load.id)];
    if (other === undefined || at === undefined || to === undefined) return [];
    const moved = distance(at.position, add(to.position, shift));
    if (moved < SAME_PLACE && load.mass === other.mass) return [];
    return [{ load: load.id, name: load.name, moved, mass: [load.mass, other.mass] as const }];
  });
}

function namesMissing(here: Scene, there: Scene): string[] {
  const lost = <T extends { readonly id: string; readonly name: string }>(
    mine: readonly T[],
    theirs: readonly T[],
  ): string[] =>
    mine.filter(({ id }) => !theirs.some((other) => other.id === id)).map(({ name }) => name);
  return [
    ...lost(here.figures, there.figures),
    ...lost(here.loads, there.loads),
    ...lost(here.surfaces, there.surfaces),
  ];
}

/** A scene with everything in it moved, metres; what is carried goes along with who carries it. */
export function movedBy(scene: Scene, shift: Vec3): Scene {
  return {
    ...scene,
    figures: scene.figures.map((figure) => ({
      ...figure,
      pose: { ...figure.pose, position: add(figure.pose.position, shift) },
    })),
    loads: scene.loads.map((load) =>
      load.place.kind === 'standing'
        ? { ...load, place: { ...load.place, position: add(load.place.position, shift) } }
        : load,
    ),
    surfaces: scene.surfaces.map((surface) => ({
      ...surface,
      position: add(surface.position, shift),
    })),
  };
}
