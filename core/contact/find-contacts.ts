import { dot, placePoints, rotate, type Transform, type Vec3 } from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import type { Figure, Scene } from '../scene/index.ts';
import { type Face, surfaceFaces } from './faces.ts';
import { bearersNear, loadsAtHand, loadTops, standsOnPeople } from './members.ts';
import { type PatchOutline, patchOutlines } from './outlines.ts';
import {
  type Area,
  carrying,
  HARD_TOUCH,
  nearest,
  SOFT_TOUCH,
  type Touch,
  touchLaid,
  touchNear,
} from './touch.ts';
import type { Contact } from './types.ts';
import { reachOf, underside } from './underside.ts';

/**
 * Everything that rests on something: the patches of the figures and the undersides of the loads
 * against the surfaces of the scene, each clipped to the extents of what it rests on (half a foot over
 * a ledge, a sole across a beam). Sorted by id; a patch on two level surfaces gives two contacts, the
 * second with the id `figure/patch@surface`.
 *
 * Members of the scene carry each other (`upon`) where one stands on the top of a standing box, or
 * stands, kneels or sits on the upper side of another figure's limb or trunk. Hands do so by holds and
 * grips, and nobody touches the load that they hold.
 * @param posed the figures of the scene in the world, by id
 * @param placed the loads of the scene in the world, by id
 */
export function findContacts(
  scene: Scene,
  posed: ReadonlyMap<string, PosedFigure>,
  placed: ReadonlyMap<string, Transform>,
): readonly Contact[] {
  const faces = scene.surfaces.flatMap(surfaceFaces);
  const boxes = loadTops(scene, placed);
  const contacts: Contact[] = [];
  for (const figure of scene.figures) {
    const body = posed.get(figure.id);
    if (body === undefined) continue;
    const held = boxes.length === 0 ? NOTHING : loadsAtHand(scene, figure.id);
    const free = boxes.filter((face) => !held.has(face.surface));
    const others = scene.figures.length === 1 ? [] : [...posed].filter(([id]) => id !== figure.id);
    addFigure(contacts, figure, body, free.length === 0 ? faces : [...faces, ...free], others);
  }
  const tops =
    scene.loads.length === 0 ? [] : [...faces.filter((face) => face.normal[1] > 0), ...boxes];
  for (const load of scene.loads) {
    const transform = placed.get(load.id);
    if (transform === undefined) continue;
    const reach = reachOf(load.shape);
    const touches: Touch[] = [];
    for (const face of tops) {
      if (face.upon !== undefined && face.surface === load.id) continue;
      if (!isWithin(transform.position, reach, face)) continue;
      const touch = touchNear(underside(load.shape, transform, face), face, HARD_TOUCH);
      if (touch !== null) touches.push(touch);
    }
    if (touches.length > 0)
      addTouches(contacts, load.id, load.id, 'underside', 'auto', carrying(touches));
  }
  return contacts.sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
}

const NOTHING: ReadonlySet<string> = new Set();

function addFigure(
  contacts: Contact[],
  figure: Figure,
  posed: PosedFigure,
  fixed: readonly Face[],
  others: readonly (readonly [string, PosedFigure])[],
): void {
  for (const patch of patchOutlines(posed.body)) {
    const setting = figure.contacts[patch.name] ?? 'auto';
    if (setting === 'lifted') continue;
    const segment = posed.segments[patch.segment];
    const planted = setting !== 'auto';
    const grips = setting === 'gripping' && PALMS.has(patch.name);
    let area: Area | null = null;
    const touches: Touch[] = [];
    const people =
      others.length > 0 && standsOnPeople(patch)
        ? others.flatMap(([id, other]) => bearersNear(id, other, patch, segment))
        : [];
    for (const face of people.length === 0 ? fixed : [...fixed, ...people]) {
      if (!planted && !isWithin(segment.position, patch.reach, face)) continue;
      area ??= place(patch, segment, grips);
      const touch = planted ? touchLaid(area, face) : touchNear(area, face, SOFT_TOUCH);
      if (touch !== null) touches.push(touch);
    }
    if (touches.length === 0) continue;
    const kept = planted ? nearest(touches) : carrying(touches);
    const how = grips ? 'gripping' : planted ? 'planted' : 'auto';
    addTouches(contacts, `${figure.id}/${patch.name}`, figure.id, patch.name, how, kept);
  }
}

function addTouches(
  contacts: Contact[],
  id: string,
  owner: string,
  patch: Contact['patch'],
  setting: Contact['setting'],
  touches: readonly Touch[],
): void {
  // By surface, so that the order of surfaces in the scene does not choose which one has the plain id.
  const sorted =
    touches.length < 2
      ? touches
      : touches.toSorted((a, b) => (a.face.surface < b.face.surface ? -1 : 1));
  sorted.forEach(({ face, outline, functional, clipped }, i) => {
    const contact: Contact = {
      id: i === 0 ? id : `${id}@${face.surface}`,
      owner,
      patch,
      surface: face.surface,
      normal: face.normal,
      friction: face.friction,
      outline,
      functional,
      clipped,
      // Round a wide board no hand closes: fingers go over an end of it, or it only pushes.
      setting: setting === 'gripping' && !clipped ? 'planted' : setting,
    };
    // Spread only where it must be: this runs for every foot on every edit.
    contacts.push(face.upon === undefined ? contact : { ...contact, upon: face.upon });
  });
}

/** @param round a hand that closes round a thing lies on it, whichever way its palm looks */
const place = (patch: PatchOutline, segment: Transform, round: boolean): Area => ({
  outline: placePoints(segment, patch.outline),
  functional: placePoints(segment, patch.functional),
  normal: round ? null : rotate(segment.rotation, patch.normal),
});

const PALMS: ReadonlySet<string> = new Set(['palmL', 'palmR']);

/** Whether anything within `reach` of a point can touch the face: a cheap first sieve. */
const isWithin = (point: Vec3, reach: number, face: Face): boolean =>
  dot(face.normal, point) - face.offset <= reach + SOFT_TOUCH;
