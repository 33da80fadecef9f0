import { buildBody } from '../core/body/index.ts';
import { conjugate, IDENTITY, rotate, type Vec3 } from '../core/geometry/index.ts';
import { palmCentre, poseFigure } from '../core/pose/index.ts';
import type {
  Figure,
  Grip,
  Load,
  LoadShape,
  Scene,
  Surface,
  SurfaceKind,
} from '../core/scene/index.ts';
import { poseOf, type Stance } from './poses.ts';

/** Short ways to write the scenes of the demo down. */

export const scene = (parts: Partial<Scene>): Scene => ({
  figures: [],
  loads: [],
  surfaces: [],
  grips: [],
  ...parts,
});

export const figure = (
  id: string,
  name: string,
  stance: Stance,
  contacts: Figure['contacts'] = {},
): Figure => ({ id, name, body: stance.body, pose: poseOf(stance), contacts });

/** Boards, cobbles and dry stone: a dry shoe on them, common practice, no source. */
const FRICTION = 0.7;

export const floor = (name = 'Quay', y = 0): Surface => ({
  id: 'floor',
  name,
  kind: 'floor',
  position: [0, y, 0],
  rotation: IDENTITY,
  size: null,
  friction: FRICTION,
});

/** An upright box by the middle of its top. */
export const block = (
  id: string,
  name: string,
  kind: SurfaceKind,
  top: Vec3,
  size: Vec3,
): Surface => ({
  id,
  name,
  kind,
  position: [top[0], top[1] - size[1] / 2, top[2]],
  rotation: IDENTITY,
  size,
  friction: FRICTION,
});

/** Where a palm of a stance is: what it leans on is put there. */
export const palmAt = (stance: Stance, side: 'L' | 'R'): Vec3 =>
  palmCentre(poseFigure(buildBody(stance.body), poseOf(stance)), side);

/** A load fixed to the trunk, by its place from the hips in the trunk's frame (up, forward; metres). */
export function worn(
  id: string,
  name: string,
  mass: number,
  size: Vec3,
  stance: Stance,
  figureId: string,
  fromHips: Vec3,
): Load {
  const { pelvis, abdomen } = buildBody(stance.body).segments;
  const [x, y, z] = fromHips;
  const offset: Vec3 = [x, y - pelvis.end[1] - abdomen.end[1], z];
  return {
    id,
    name,
    shape: { kind: 'box', size },
    mass,
    place: { kind: 'attached', figure: figureId, segment: 'chest', offset, rotation: IDENTITY },
  };
}

/** A load held with its centre at a point of the world. */
export function heldAt(
  id: string,
  name: string,
  mass: number | null,
  shape: LoadShape,
  stance: Stance,
  figureId: string,
  hands: 'both' | 'left' | 'right',
  centre: Vec3,
): Load {
  const posed = poseFigure(buildBody(stance.body), poseOf(stance));
  const left = palmCentre(posed, 'L');
  const right = palmCentre(posed, 'R');
  const palms = hands === 'left' ? left : hands === 'right' ? right : middle(left, right);
  const away: Vec3 = [centre[0] - palms[0], centre[1] - palms[1], centre[2] - palms[2]];
  const offset = rotate(conjugate(posed.segments.chest.rotation), away);
  return { id, name, shape, mass, place: { kind: 'held', figure: figureId, hands, offset } };
}

const middle = (a: Vec3, b: Vec3): Vec3 => [
  (a[0] + b[0]) / 2,
  (a[1] + b[1]) / 2,
  (a[2] + b[2]) / 2,
];

/** A closed grip of one figure's segment on another figure's. */
export const grip = (
  id: string,
  a: readonly [figure: string, segment: Extract<Grip['a'], { kind: 'figure' }>['segment']],
  b: readonly [figure: string, segment: Extract<Grip['a'], { kind: 'figure' }>['segment']],
): Grip => ({
  id,
  a: { kind: 'figure', figure: a[0], segment: a[1] },
  b: { kind: 'figure', figure: b[0], segment: b[1] },
  open: false,
});
