import { type Body, PATCHES, type PatchName, type SegmentName } from '../../body/index.ts';
import type { Contact } from '../../contact/index.ts';
import { add, scale, subtract, type Vec2, type Vec3 } from '../../geometry/index.ts';
import {
  type CentreLoad,
  type Planted,
  type Pose,
  type PosedFigure,
  palmLocal,
  pointOn,
  poseFigure,
} from '../../pose/index.ts';
import {
  bodyOf,
  type Figure,
  facing,
  type Grip,
  handsOf,
  type Load,
  loadMasses,
  type Scene,
} from '../../scene/index.ts';
import { assess } from '../assess.ts';
import type { BalanceReport, GroupReading } from '../types.ts';
import type { Changes } from './types.ts';

export type Side = 'L' | 'R';
export const SIDES = ['L', 'R'] as const;

/** A figure to be mended, with all that a way needs to know of it. */
export interface Situation {
  readonly scene: Scene;
  readonly figure: Figure;
  readonly body: Body;
  readonly posed: PosedFigure;
  readonly report: BalanceReport;
  readonly group: GroupReading;
  readonly contacts: readonly Contact[];
  /** What stays where it is: the soles and everything else that rests on something, and hands in grips. */
  readonly planted: readonly Planted[];
  /** Everything with mass that moves with the figure's segments. */
  readonly loads: readonly CentreLoad[];
  /** Mass that moves with the figure, kilograms, and its centre in plan. */
  readonly moving: number;
  readonly movingCentre: Vec2;
  /** Loads of known mass in the hands or on the body. */
  readonly carried: readonly Load[];
  /** Partners that touch nothing and hang on this figure alone: they go where its grips go. */
  readonly hanging: readonly Partner[];
  /** Partners that stand by themselves and are held. */
  readonly standing: readonly Partner[];
  readonly forward: Vec2;
}

/** Another figure, and where this one holds it. */
export interface Partner {
  readonly figure: Figure;
  readonly posed: PosedFigure;
  readonly grips: readonly { readonly mine: SegmentName; readonly theirs: SegmentName }[];
  /** Kilograms, with what it carries itself. */
  readonly mass: number;
}

/** Throws RangeError where the scene has no such figure. */
export function situationOf(scene: Scene, figureId: string): Situation {
  const figure = scene.figures.find(({ id }) => id === figureId);
  if (figure === undefined) throw new RangeError(`The scene has no figure ${figureId}.`);
  const report = assess(scene);
  const reading = report.figures.find((one) => one.figure === figureId)!;
  const group = report.groups.find(({ id }) => id === reading.group)!;
  const body = bodyOf(figure.body);
  const posed = poseFigure(body, figure.pose);
  const contacts = report.contacts.filter(isOf(figureId));
  const partners = partnersOf(scene, figure, report);
  const hanging = partners.filter((one) => hangs(scene, figure, one, report));
  const standing = partners.filter((one) => !hanging.includes(one));
  const carried = scene.loads.filter(
    ({ place, mass }) => place.kind !== 'standing' && place.figure === figureId && mass !== null,
  );
  const loads = [
    ...carried.flatMap((load) => loadMasses(body, load, posed.segments.chest.rotation)),
    ...hanging.flatMap((one) => onGrips(body, one)),
  ];
  const moving = loads.reduce((sum, { mass }) => sum + mass, figure.body.mass);
  return {
    ...{ scene, figure, body, posed, report, group, contacts, loads, moving, carried },
    ...{ hanging, standing, forward: facing(posed.segments.pelvis.rotation) },
    planted: [...plantedBy(body, contacts), ...standing.flatMap((one) => heldPoints(body, one))],
    movingCentre: movingCentreOf(posed, loads, moving),
  };
}

const isOf =
  (figure: string) =>
  ({ owner, patch }: Contact): boolean =>
    owner === figure && patch !== 'underside';

/** Plan centre of a figure with loads on its segments. */
export function movingCentreOf(
  posed: PosedFigure,
  loads: readonly CentreLoad[],
  total: number,
): Vec2 {
  let sum = scale(posed.centre, posed.body.spec.mass);
  for (const { segment, offset, mass } of loads)
    sum = add(sum, scale(pointOn(posed, segment, offset), mass));
  return [sum[0] / total, sum[2] / total];
}

/** Middle of a patch in its segment's frame. */
const middleOf = (body: Body, patch: PatchName): Vec3 => {
  const { outline } = body.patches[patch];
  return scale(outline.reduce(add), 1 / outline.length);
};

const touches = (contacts: readonly Contact[], patch: PatchName): boolean =>
  contacts.some((contact) => contact.patch === patch);

/** What stays in place: soles with their turn, everything else by its middle. */
function plantedBy(body: Body, contacts: readonly Contact[]): readonly Planted[] {
  return PATCHES.filter((patch) => touches(contacts, patch)).flatMap((patch): Planted[] => {
    // A tail bends of itself: its tip holds no hips in their place.
    if (patch === 'tailTip') return [];
    const { segment } = body.patches[patch];
    const side = patch.slice(-1);
    if (patch.startsWith('sole')) return [{ segment, turn: true }];
    if (patch.startsWith('toes'))
      return touches(contacts, `sole${side}` as PatchName) ? [] : [{ segment, turn: true }];
    return [{ segment, point: middleOf(body, patch), turn: false }];
  });
}

/** Where a segment takes hold: the palm of a hand, the middle of anything else. */
export const holdPoint = (body: Body, segment: SegmentName): Vec3 =>
  segment.startsWith('hand')
    ? palmLocal(body, segment.slice(-1) as Side)
    : scale(body.segments[segment].end, 0.5);

const heldPoints = (body: Body, { grips }: Partner): readonly Planted[] =>
  grips.map(({ mine }) => ({ segment: mine, point: holdPoint(body, mine), turn: false }));

/** A hanging partner as masses where it is held: it is carried along without turning. */
const onGrips = (body: Body, { grips, mass }: Partner): readonly CentreLoad[] =>
  grips.map(({ mine }) => ({
    segment: mine,
    offset: holdPoint(body, mine),
    mass: mass / grips.length,
  }));

/** The two ends of a grip as seen from a figure; null where it has no part in it. */
function seenFrom(id: string, { a, b }: Grip) {
  if (a.kind !== 'figure' || b.kind !== 'figure') return null;
  if (a.figure === id) return { other: b.figure, mine: a.segment, theirs: b.segment };
  if (b.figure === id) return { other: a.figure, mine: b.segment, theirs: a.segment };
  return null;
}

function partnersOf(scene: Scene, figure: Figure, report: BalanceReport): readonly Partner[] {
  const found = new Map<string, { mine: SegmentName; theirs: SegmentName }[]>();
  for (const grip of scene.grips) {
    const seen = grip.open ? null : seenFrom(figure.id, grip);
    if (seen === null) continue;
    const list = found.get(seen.other) ?? [];
    list.push({ mine: seen.mine, theirs: seen.theirs });
    found.set(seen.other, list);
  }
  return [...found].flatMap(([id, grips]) => {
    const other = scene.figures.find((one) => one.id === id);
    if (other === undefined) return [];
    const posed = poseFigure(bodyOf(other.body), other.pose);
    const mass = report.figures.find((one) => one.figure === id)?.mass ?? other.body.mass;
    return [{ figure: other, posed, grips, mass }];
  });
}

function hangs(scene: Scene, { id }: Figure, { figure }: Partner, report: BalanceReport): boolean {
  if (report.contacts.some(isOf(figure.id))) return false;
  return scene.grips.every((grip) => {
    const seen = grip.open ? null : seenFrom(figure.id, grip);
    return seen === null || seen.other === id;
  });
}

/** The scene with some of its entries changed. */
export function withChanges(scene: Scene, { poses, loads }: Changes): Scene {
  return {
    ...scene,
    figures: scene.figures.map((one) => {
      const pose = poses[one.id];
      return pose === undefined ? one : { ...one, pose };
    }),
    loads: scene.loads.map((one) => {
      const place = loads[one.id];
      return place === undefined ? one : { ...one, place };
    }),
  };
}

/** How far the point where a segment takes hold has come. */
export function wayOfHold(
  { body, posed }: Situation,
  segment: SegmentName,
  after: PosedFigure,
): Vec3 {
  const point = holdPoint(body, segment);
  return subtract(pointOn(after, segment, point), pointOn(posed, segment, point));
}

/**
 * Changes by a new pose of the figure: what hangs on it goes along, by the way of its grips.
 * @param after the figure in that pose, where it is known
 */
export function withPose(
  situation: Situation,
  pose: Pose,
  after: PosedFigure = poseFigure(situation.body, pose),
): Changes {
  const poses: Record<string, Pose> = { [situation.figure.id]: pose };
  for (const { figure: other, grips } of situation.hanging) {
    const ways = grips.map(({ mine }) => wayOfHold(situation, mine, after));
    const position = add(other.pose.position, scale(ways.reduce(add), 1 / grips.length));
    poses[other.id] = { ...other.pose, position };
  }
  return { poses, loads: {} };
}

/** The reading of the figure's group in a changed scene. */
export function groupAfter({ figure, scene }: Situation, changes: Changes): GroupReading {
  const report = assess(withChanges(scene, changes));
  const { group } = report.figures.find((one) => one.figure === figure.id)!;
  return report.groups.find(({ id }) => id === group)!;
}

/** Whether a foot carries, by its sole or its toes. */
export const stands = ({ contacts }: Situation, side: Side): boolean =>
  touches(contacts, `sole${side}`) || touches(contacts, `toes${side}`);

/** Whether an arm is free: neither resting, nor in a grip, nor holding a load. */
export function isFree(
  { contacts, scene, figure, hanging, standing }: Situation,
  side: Side,
): boolean {
  const rests = touches(contacts, `palm${side}`) || touches(contacts, `forearm${side}`);
  const hand = `hand${side}`;
  const grips = [...hanging, ...standing].some((one) =>
    one.grips.some(({ mine }) => mine === hand || mine === `forearm${side}`),
  );
  const gripsLoad = scene.grips.some(
    ({ a, b, open }) =>
      !open &&
      [a, b].some(
        (end) => end.kind === 'figure' && end.figure === figure.id && end.segment === hand,
      ),
  );
  const holds = scene.loads.some(
    ({ place }) =>
      place.kind === 'held' && place.figure === figure.id && handsOf(place).includes(side),
  );
  return !(rests || grips || gripsLoad || holds);
}
