import { groundBelow } from '../../contact/index.ts';
import { rotate, type Transform, type Vec3 } from '../../geometry/index.ts';
import type { PosedFigure } from '../../pose/index.ts';
import type { Load, Scene } from '../../scene/index.ts';
import { lookAt, readGroup } from '../assess.ts';
import { endNode, figureNode, type Group, loadNode } from '../groups.ts';
import type { World } from '../linkage.ts';
import { GRAVITY, toppleTime } from '../region/index.ts';
import { inWords } from '../sentence.ts';
import type { Margin } from '../types.ts';
import { type ClosedHand, handSets, handsLetGo, handsOf } from './closed-hands.ts';
import type { Rig } from './rig.ts';
import type { Drop, LetGo, Moment, PartAfter, Topple } from './types.ts';
import { list } from './words.ts';

/**
 * What becomes of the group when a grip opens, when two let go of each other altogether, when hands open
 * that have closed round a bar or an edge, and when a load is let go: each connected rest weighed alone, the way and the time of its fall, and where a load
 * drops.
 * @param rate frames a second
 */
export function letGoStudies(rig: Rig, rate: number): readonly LetGo[] {
  const { scene, world, group, names } = rig;
  const grips = world.grips.filter(({ a }) => names.has(endNode(a)));
  const pairs = new Map<string, string[]>();
  for (const { id, a, b } of grips) {
    const key = [endNode(a), endNode(b)].sort().join(' ');
    pairs.set(key, [...(pairs.get(key) ?? []), id]);
  }
  const ends = (id: string): string => {
    const { a, b } = grips.find((grip) => grip.id === id)!;
    return `${names.get(endNode(a))} and ${names.get(endNode(b))}`;
  };
  const all = [...pairs.values()].filter((ids) => ids.length > 1);
  const carried = group.loads.filter(({ id }) =>
    [...world.carried].some(
      ([figure, loads]) =>
        names.has(figureNode(figure)) && loads.some(({ load }) => load.id === id),
    ),
  );
  return [
    ...all.map((ids): LetGo => {
      const parts = partsOf(names, opened(scene, ids), rate);
      return {
        what: { kind: 'grips', grips: ids },
        parts,
        sentence: sentenceOf(`When ${ends(ids[0]!)} let go of each other`, parts),
      };
    }),
    ...grips.map(({ id }): LetGo => {
      const parts = partsOf(names, opened(scene, [id]), rate);
      const many = [...pairs.values()].some((ids) => ids.length > 1 && ids.includes(id));
      const which = many ? ` of one grip (${id})` : '';
      return {
        what: { kind: 'grip', grip: id },
        parts,
        sentence: sentenceOf(`When ${ends(id)} let go${which}`, parts),
      };
    }),
    ...handSets(handsOf({ contacts: [...rig.contacts, ...rig.between] })).flatMap((hands) => [
      handsOpened(rig, hands, true, rate),
      ...(hands.length > 1 ? hands.map((hand) => handsOpened(rig, [hand], false, rate)) : []),
    ]),
    ...carried.map((load): LetGo => {
      const without: Scene = {
        ...scene,
        loads: scene.loads.filter(({ id }) => id !== load.id),
        grips: scene.grips.filter(
          ({ a, b }) => ![a, b].some((end) => end.kind === 'load' && end.load === load.id),
        ),
      };
      const parts = [
        ...partsOf(names, without, rate),
        droppedLoad(scene, world, load, world.placed.get(load.id)!, rate),
      ];
      return {
        what: { kind: 'load', load: load.id },
        parts,
        sentence: sentenceOf(`When ${load.name} is let go`, parts),
      };
    }),
  ];
}

function handsOpened(
  { scene, names }: Rig,
  hands: readonly ClosedHand[],
  all: boolean,
  rate: number,
): LetGo {
  const ids = hands.map(({ id }) => id);
  const parts = partsOf(names, opened(scene, ids), rate);
  return {
    what: { kind: 'hands', hands: ids },
    parts,
    sentence: sentenceOf(`When ${handsLetGo(scene, hands, all)}`, parts),
  };
}

/** The scene with some holds let go: grips by id, closed hands as `FIGURE/palmL`. */
export const opened = (scene: Scene, ids: readonly string[]): Scene => ({
  ...scene,
  figures: scene.figures.map((figure) => {
    const palms = (['palmL', 'palmR'] as const).filter((palm) =>
      ids.includes(`${figure.id}/${palm}`),
    );
    if (palms.length === 0) return figure;
    const lifted = Object.fromEntries(palms.map((palm) => [palm, 'lifted'] as const));
    return { ...figure, contacts: { ...figure.contacts, ...lifted } };
  }),
  grips: scene.grips.map((grip) => (ids.includes(grip.id) ? { ...grip, open: true } : grip)),
});

/** The connected rests of some members (by node) in a changed scene. */
export function partsOf(
  members: ReadonlyMap<string, string>,
  scene: Scene,
  rate: number,
): readonly PartAfter[] {
  const { world, groups } = lookAt(scene);
  const mine = ({ figures, loads }: Group): boolean =>
    [...figures.map(({ id }) => figureNode(id)), ...loads.map(({ id }) => loadNode(id))].some(
      (node) => members.has(node),
    );
  return groups.filter(mine).map((group) => partAfter(scene, world, group, rate));
}

function partAfter(scene: Scene, world: World, group: Group, rate: number): PartAfter {
  const only = group.loads[0];
  if (group.figures.length === 0 && group.loads.length === 1 && only !== undefined) {
    const resting = world.contacts.some(
      ({ owner, patch }) => patch === 'underside' && owner === only.id,
    );
    if (!resting) return droppedLoad(scene, world, only, world.placed.get(only.id)!, rate);
  }
  const { verdict, margin, centre } = readGroup(group, world);
  const falls = verdict === 'falls';
  const swings = falls && hangs(world, group, centre);
  return {
    members: [...group.figures.map(({ id }) => id), ...group.loads.map(({ id }) => id)],
    names: [...group.figures.map(({ name }) => name), ...group.loads.map(({ name }) => name)],
    verdict,
    margin_m: margin?.distance ?? null,
    direction: falls ? (margin?.direction ?? null) : null,
    heading: falls ? (margin?.heading ?? null) : null,
    swings,
    topple: falls && !swings && margin !== null ? toppleOf(world, group, margin, rate) : null,
    drop: verdict === 'airborne' ? figureDrop(scene, world, group, rate) : null,
  };
}

const moment = (seconds: number, rate: number): Moment => ({
  seconds,
  frames: Math.round(seconds * rate),
});

/**
 * Toppling as one stiff body over the nearest edge from rest, every segment and load a point mass at
 * its own centre: k = g / length with length = sum(m d^2) / (M r), d the distances from the edge and r
 * that of the centre (mechanics.md 4.5). An estimate: people do not fall stiffly.
 */
function toppleOf(world: World, group: Group, margin: Margin, rate: number): Topple | null {
  const points = pointMasses(world, group);
  const level = levelOf(world, group);
  if (points === null || level === null) return null;
  const { nearest } = margin.edge;
  const [ux, uz] = margin.direction;
  let total = 0;
  let along = 0;
  let up = 0;
  let inertia = 0;
  for (const { mass, at } of points) {
    const s = (at[0] - nearest[0]) * ux + (at[2] - nearest[1]) * uz;
    const y = at[1] - level;
    total += mass;
    along += mass * s;
    up += mass * y;
    inertia += mass * (s * s + y * y);
  }
  const radius = Math.hypot(along, up) / total;
  if (!(radius > 0)) return null;
  const lean = Math.atan2(along, up);
  const length = inertia / (total * radius);
  const until = (degrees: number): Moment =>
    moment(toppleTime(lean, (degrees * Math.PI) / 180, length), rate);
  return { to20: until(20), to45: until(45), toFloor: until(90) };
}

interface PointMass {
  readonly mass: number;
  readonly at: Vec3;
}

function pointMasses({ posed, placed }: World, group: Group): readonly PointMass[] | null {
  if (group.loads.some(({ mass }) => mass === null)) return null;
  return [
    ...group.figures.flatMap(({ id }) => segmentMasses(posed.get(id)!)),
    ...group.loads.map(({ id, mass }) => ({ mass: mass ?? 0, at: placed.get(id)!.position })),
  ];
}

/** Every segment with mass, at its mass centre in the world. */
export function segmentMasses({ body, segments }: PosedFigure): readonly PointMass[] {
  return Object.values(body.segments)
    .filter(({ mass }) => mass > 0)
    .map(({ name, mass, centre }) => {
      const { position, rotation } = segments[name];
      const [x, y, z] = rotate(rotation, centre);
      return { mass, at: [position[0] + x, position[1] + y, position[2] + z] };
    });
}

/** Height of the lowest contact of a group with the ground, metres. */
function levelOf({ contacts }: World, { figures, loads }: Group): number | null {
  const heights = contacts
    .filter(({ owner, patch }) =>
      (patch === 'underside' ? loads : figures).some(({ id }) => id === owner),
    )
    .flatMap(({ outline }) => outline.map((p) => p[1]));
  return heights.length === 0 ? null : Math.min(...heights);
}

/** Whether the centre lies below everything that carries: such a thing is a pendulum and does not topple. */
function hangs(world: World, group: Group, centre: Vec3 | null): boolean {
  const level = levelOf(world, group);
  return level !== null && centre !== null && centre[1] < level;
}

/** A load falls straight down from where it is: t = sqrt(2 h / g). */
function droppedLoad(
  scene: Scene,
  { placed }: World,
  { id, name, shape, centre }: Load,
  at: Transform,
  rate: number,
): PartAfter {
  // The world places loads by their mass centre; what meets the ground is the shape.
  const offset = centre === undefined ? 0 : rotate(at.rotation, centre)[1];
  return {
    members: [id],
    names: [name],
    verdict: 'airborne',
    margin_m: null,
    direction: null,
    heading: null,
    swings: false,
    topple: null,
    drop: dropFrom(scene, placed, at.position, depthOf(shape, at) + offset, id, rate),
  };
}

/** How far a load reaches below its middle, metres. */
function depthOf(shape: Load['shape'], { rotation }: Transform): number {
  if (shape.kind === 'ball') return shape.radius;
  if (shape.kind === 'cylinder') {
    const rise = Math.abs(rotate(rotation, [0, 1, 0])[1]);
    return (rise * shape.length) / 2 + Math.sqrt(Math.max(0, 1 - rise * rise)) * shape.radius;
  }
  return ([0, 1, 2] as const).reduce<number>((sum, i) => {
    const axis = rotate(rotation, [i === 0 ? 1 : 0, i === 1 ? 1 : 0, i === 2 ? 1 : 0]);
    return sum + Math.abs(axis[1]) * (shape.size[i] / 2);
  }, 0);
}

/** A figure that nothing holds any more falls until its trunk is down. */
function figureDrop(scene: Scene, world: World, group: Group, rate: number): Drop | null {
  const drops = group.figures.map(({ id }) => {
    const { centre, segments, body } = world.posed.get(id)!;
    const lowest = Math.min(
      ...(['pelvis', 'chest'] as const).map(
        (name) => segments[name].position[1] - body.segments[name].girth[0],
      ),
    );
    return dropFrom(scene, world.placed, centre, centre[1] - lowest, null, rate);
  });
  return drops[0] ?? null;
}

function dropFrom(
  scene: Scene,
  placed: World['placed'],
  from: Vec3,
  depth: number,
  except: string | null,
  rate: number,
): Drop | null {
  const under: Vec3 = [from[0], from[1] - depth, from[2]];
  const ground = groundBelow(scene, placed, under, except);
  if (ground === null) return null;
  const height_m = Math.max(0, under[1] - ground.height);
  return {
    from,
    to: [from[0], from[1] - height_m, from[2]],
    height_m,
    onto: ground.name,
    ...moment(Math.sqrt((2 * height_m) / GRAVITY), rate),
  };
}

export const sentenceOf = (start: string, parts: readonly PartAfter[]): string =>
  `${start}: ${outcomeOf(parts)}`;

/** What becomes of each part, as the end of a sentence: "Pim falls backwards, 3.1 cm out: ... ." */
export const outcomeOf = (parts: readonly PartAfter[]): string =>
  `${parts.map(partWords).join('; ')}.`;

const frames = ({ frames: count }: Moment): string => (count === 1 ? '1 frame' : `${count} frames`);

function partWords({ names, verdict, margin_m, heading, swings, topple, drop }: PartAfter): string {
  const who = list(names);
  const several = names.length > 1;
  if (verdict === 'airborne')
    return drop === null
      ? `${who} ${several ? 'drop' : 'drops'}, and nothing lies beneath`
      : `${who} ${several ? 'drop' : 'drops'} ${inWords(drop.height_m)} to ${drop.onto} in ${frames(drop)}`;
  if (verdict === 'unknown') return `${who} cannot be told, a mass is not set`;
  if (verdict !== 'falls') {
    const word = verdict === 'holds' ? 'hold' : 'teeter';
    return `${who} ${several ? word : `${word}s`}`;
  }
  if (swings)
    return `${who} ${several ? 'swing' : 'swings'}${heading === null ? '' : ` ${heading}`} under what still holds, ${inWords(-(margin_m ?? 0))} aside`;
  const how = `${who} ${several ? 'fall' : 'falls'}${heading === null ? '' : ` ${heading}`}`;
  const out = margin_m === null ? '' : `, ${inWords(-margin_m)} out`;
  return topple === null
    ? `${how}${out}`
    : `${how}${out}: 20 degrees over in ${frames(topple.to20)}, down in ${frames(topple.toFloor)}`;
}
