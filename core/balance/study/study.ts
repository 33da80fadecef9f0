import type { Scene } from '../../scene/index.ts';
import { edgesOf } from './edges.ts';
import { gripStudies, pullsOf } from './grips.ts';
import { growthOf } from './growth.ts';
import { letGoStudies } from './let-go.ts';
import { frictionDemand, pushesOn, tipping } from './limits.ts';
import { contactLoads, likelyOf } from './loads.ts';
import { carriedLoads, carriersOf, impliedWeight, partnerMass } from './masses.ts';
import { reachOut } from './reach-out.ts';
import { type Rig, rigsOf } from './rig.ts';
import { sensitivityOf } from './sensitivity.ts';
import { sturdinessOf } from './sturdiness.ts';
import type { GroupStudy, Sentence, Study, StudyOptions, Subject } from './types.ts';

const RATE = 24;
const DIRECTIONS = 16;

/**
 * All that statics can say about a scene beyond its readings: what every contact and grip carries, how
 * far it is from tipping or sliding, what becomes of the parts when one lets go, which masses the pose
 * allows, what moves the plumb line, and how far the verdict hangs on body tables. Each with one plain
 * sentence; what cannot be told says why.
 *
 * Pure; takes tens of milliseconds for two figures, so it belongs in a worker or after an edit, not into
 * a drag (`assess` does that). The order of things in the scene plays no part.
 * @throws RangeError for a body that cannot be built, or an option that makes no sense
 */
export function study(scene: Scene, options: StudyOptions = {}): Study {
  const { rate = RATE, directions = DIRECTIONS, pushHeight } = options;
  if (!(Number.isFinite(rate) && rate > 0))
    throw new RangeError(`rate is ${rate}; give frames a second above 0.`);
  if (!(Number.isInteger(directions) && directions >= 4 && directions <= 360))
    throw new RangeError(`directions is ${directions}; give a whole number from 4 to 360.`);
  if (pushHeight !== undefined && !(Number.isFinite(pushHeight) && pushHeight >= 0))
    throw new RangeError(`pushHeight is ${pushHeight}; give metres of at least 0.`);
  return { groups: rigsOf(scene).map((rig) => studyGroup(rig, { rate, directions, pushHeight })) };
}

interface Settings {
  readonly rate: number;
  readonly directions: number;
  readonly pushHeight: number | undefined;
}

function studyGroup(rig: Rig, { rate, directions, pushHeight }: Settings): GroupStudy {
  const { group, reading } = rig;
  const likely = likelyOf(rig);
  const edges = edgesOf(rig);
  const tip = tipping(rig, edges.kind === 'told' ? edges.edges : null, directions);
  const carried = carriedLoads(rig);
  const implied = carried.map((load) => impliedWeight(rig, load));
  const figures = group.figures.map(({ id }) => id);
  const parts: Omit<GroupStudy, 'sentences'> = {
    id: group.id,
    members: [...figures, ...group.loads.map(({ id }) => id)],
    verdict: reading.verdict,
    loads: contactLoads(rig, likely),
    friction: frictionDemand(rig, tip.kind === 'told' ? tip.weakest : null),
    tipping: tip,
    pushes: figures.map((figure) => pushesOn(rig, figure, pushHeight)),
    edges,
    grips: gripStudies(rig, likely),
    pulls: pullsOf(rig, likely),
    letGo: letGoStudies(rig, rate),
    implied,
    partners: figures.length > 1 ? figures.map((figure) => partnerMass(rig, figure)) : [],
    growth: carried.map((load, i) => growthOf(rig, load, implied[i]!, likely)),
    reach: carried.map((load) => reachOut(rig, load, carriersOf(rig, load.id)[0]!.figure)),
    sensitivity: figures.map((figure) => sensitivityOf(rig, figure)),
    sturdiness: sturdinessOf(rig),
  };
  return { ...parts, sentences: sentencesOf(parts) };
}

function sentencesOf(parts: Omit<GroupStudy, 'sentences'>): readonly Sentence[] {
  const said: readonly (readonly [Subject, readonly { readonly sentence: string }[]])[] = [
    ['loads', [parts.loads]],
    ['friction', [parts.friction]],
    ['tipping', [parts.tipping]],
    ['pushes', parts.pushes],
    ['edges', [parts.edges]],
    ['grips', [...parts.grips.map(({ force }) => force), ...parts.pulls]],
    ['letting go', parts.letGo],
    ['implied weight', parts.implied.map(({ answer }) => answer)],
    ['partner', parts.partners.map(({ answer }) => answer)],
    ['growth', parts.growth.map(({ answer }) => answer)],
    ['reaching', parts.reach.map(({ answer }) => answer)],
    ['sensitivity', parts.sensitivity.map(({ answer }) => answer)],
    ['sturdiness', [parts.sturdiness]],
  ];
  // Two grips that share one weight have one thing to say.
  return said.flatMap(([subject, list]) =>
    [...new Set(list.map(({ sentence }) => sentence))].map((text): Sentence => ({ subject, text })),
  );
}
