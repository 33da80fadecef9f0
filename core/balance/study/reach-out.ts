import type { Vec2 } from '../../geometry/index.ts';
import { facing, type Load } from '../../scene/index.ts';
import { figureNode } from '../groups.ts';
import { buildProgram, type LoadColumn, largest, readGroup } from '../region/index.ts';
import { inWords } from '../sentence.ts';
import { carriersOf } from './masses.ts';
import { type Rig, whyNotAtRest } from './rig.ts';
import type { ReachOut } from './types.ts';
import { cannotTell } from './words.ts';

/**
 * How much farther forward of where it is a load may go, the body staying as it is.
 * @param figure the carrier whose facing says which way is forward
 */
export function reachOut(rig: Rig, load: Load, figure: string): ReachOut {
  const forward = facing(rig.world.posed.get(figure)!.segments.pelvis.rotation);
  const carriers = carriersOf(rig, load.id);
  return { load: load.id, figure, answer: reachAnswer(rig, load, carriers, forward) };
}

function reachAnswer(
  rig: Rig,
  load: Load,
  carriers: ReturnType<typeof carriersOf>,
  [ux, uz]: Vec2,
): ReachOut['answer'] {
  const what = `how far out ${load.name} may go`;
  const why = whyNotAtRest(rig);
  if (why !== null || rig.rigid === null) return cannotTell(what, why ?? 'nothing here has a mass');
  if (load.mass === 0) return cannotTell(what, 'it weighs nothing');
  const { outline, functional } = rig.rigid;
  const total = outline.bodies.reduce((sum, { mass_kg }) => sum + mass_kg, 0);
  const [x, y, z] = rig.world.placed.get(load.id)!.position;
  const weight = load.mass! / total;
  // One metre forward is a couple: the weight taken away here and put back a metre on.
  const column = carriers.flatMap(({ figure, share }): LoadColumn[] => {
    const body = rig.linkage.bodyOf.get(figureNode(figure))!;
    const on = rig.linkage.bodies.findIndex(({ id }) => id === body);
    return [
      { on, force: [0, weight * share, 0], at: [x, y, z] },
      { on, force: [0, -weight * share, 0], at: [x + ux, y, z + uz] },
    ];
  });
  const most = (group: typeof outline): number | null => {
    const { spec } = readGroup(group);
    if (spec.supports.length === 0) return 0;
    const program = buildProgram({ ...spec, column });
    const value = largest(program, program.level);
    if (value === null) return 0;
    return Number.isFinite(value) ? Math.max(0, value) : null;
  };
  const falls_m = most(outline);
  const teeters_m = most(functional);
  const name = load.name;
  const sentence =
    falls_m === null
      ? `${name} may go out forwards as far as one likes.`
      : teeters_m === null || teeters_m >= falls_m
        ? `${name} may go ${inWords(falls_m)} farther forward before this falls.`
        : `${name} may go ${inWords(teeters_m)} farther forward before this teeters, ${inWords(falls_m)} before it falls (the arms' own weight left where it is).`;
  return { kind: 'told', sentence, teeters_m, falls_m };
}
