import { type PatchName, SEGMENTS, type SegmentName } from '../body/types.ts';
import { LOAD_LOOKS, MATERIALS, massOf } from '../scene/index.ts';
import {
  type Figure,
  type Grip,
  type GripEnd,
  type Load,
  type LoadPlace,
  type LoadShape,
  type Scene,
  SURFACE_KINDS,
  type Surface,
} from '../scene/types.ts';
import { bodyFields, extraTurnFields, readBody } from './body-entries.ts';
import { withCast } from './cast.ts';
import { asNumber, asOneOf, asQuat, asRecord, asText, asVec3 } from './decode.ts';
import { poseFields, readPoseFields } from './pose-fields.ts';
import { type Entries, type Row, readRows } from './table.ts';

/**
 * The entries of one draft's map and the scene they mean. Keys:
 *   figure/ID              marks it; /name /cast (id of a body of the cast) and the fields of a body
 *                          (body-entries.ts) and of a pose (pose-fields.ts)
 *   load/ID                /name /shape /mass (null: unknown) /material /centre /look /place
 *   surface/ID             /name /kind /position /rotation /size (null: endless) /friction /pair /parts
 *   grip/ID                /a /b /open
 *   clip                   see clip.ts
 */
export const figureKey = (figure: string, field?: string): string =>
  field === undefined ? `figure/${figure}` : `figure/${figure}/${field}`;
export const jointKey = (figure: string, segment: SegmentName): string =>
  figureKey(figure, `joint.${segment}`);
export const contactKey = (figure: string, patch: PatchName): string =>
  figureKey(figure, `contact.${patch}`);
export const loadKey = (load: string, field?: string): string =>
  field === undefined ? `load/${load}` : `load/${load}/${field}`;
export const surfaceKey = (surface: string, field?: string): string =>
  field === undefined ? `surface/${surface}` : `surface/${surface}/${field}`;
export const gripKey = (grip: string, field?: string): string =>
  field === undefined ? `grip/${grip}` : `grip/${grip}/${field}`;

/** The fields of a figure's row; one with a body of the cast writes what it has of its own. */
export function figureFields(figure: Figure): Record<string, unknown> {
  const { name, body, cast } = figure;
  const own = Object.entries(bodyFields(body)).filter(
    ([field]) => cast === undefined || cast.own.includes(field),
  );
  return {
    name,
    ...Object.fromEntries(own),
    ...extraTurnFields(body),
    ...(cast === undefined ? {} : { cast: cast.body }),
    ...poseFields(figure),
  };
}

export const loadFields = ({ id: _, ...fields }: Load): Record<string, unknown> => fields;
export const surfaceFields = ({ id: _, ...fields }: Surface): Record<string, unknown> => fields;
export const gripFields = ({ id: _, ...fields }: Grip): Record<string, unknown> => fields;

/**
 * Reads a draft's entries as a scene. Rows that do not make sense are left out, so that a peer with
 * newer code cannot break an older page; rows come out sorted by id, so every peer weighs alike.
 * @param cast the review's cast (`castMap`), for figures that have their body from it
 */
export function readSceneEntries(entries: Entries, cast?: Entries): Scene {
  return {
    figures: collect(readRows(entries, 'figure'), (row) => readFigure(row, cast)),
    loads: collect(readRows(entries, 'load'), readLoad),
    surfaces: collect(readRows(entries, 'surface'), readSurface),
    grips: collect(readRows(entries, 'grip'), readGrip),
  };
}

function collect<T>(rows: Map<string, Row>, read: (row: Row) => T | null): T[] {
  return [...rows.values()]
    .sort((a, b) => (a.id < b.id ? -1 : 1))
    .map(read)
    .filter((item): item is T => item !== null);
}

function readFigure(row: Row, cast: Entries | undefined): Figure | null {
  const { id } = row;
  const { fields, link } = withCast(row, cast);
  const body = readBody(fields.keys(), (field) => fields.get(field));
  const stored = readPoseFields(fields);
  if (body === null || stored === null) return null;
  return {
    id,
    name: asText(fields.get('name')) ?? id,
    body,
    ...(link === null ? {} : { cast: link }),
    ...stored,
  };
}

function readShape(value: unknown): LoadShape | null {
  const shape = asRecord(value);
  if (shape?.kind === 'ball') {
    const radius = asNumber(shape.radius);
    return radius === null ? null : { kind: 'ball', radius };
  }
  if (shape?.kind === 'cylinder') {
    const radius = asNumber(shape.radius);
    const length = asNumber(shape.length);
    return radius === null || length === null ? null : { kind: 'cylinder', radius, length };
  }
  if (shape?.kind === 'box') {
    const size = asVec3(shape.size);
    return size === null ? null : { kind: 'box', size };
  }
  return null;
}

function readPlace(value: unknown): LoadPlace | null {
  const place = asRecord(value);
  if (place === null) return null;
  if (place.kind === 'standing') {
    const position = asVec3(place.position);
    const rotation = asQuat(place.rotation);
    return position && rotation ? { kind: 'standing', position, rotation } : null;
  }
  const figure = asText(place.figure);
  const offset = asVec3(place.offset);
  if (figure === null || offset === null) return null;
  if (place.kind === 'held') {
    const hands = asOneOf(place.hands, ['both', 'left', 'right'] as const);
    const turn = asQuat(place.rotation);
    const turned = turn === null ? {} : { rotation: turn };
    return hands === null ? null : { kind: 'held', figure, hands, offset, ...turned };
  }
  if (place.kind === 'attached') {
    const segment = asOneOf(place.segment, SEGMENTS);
    const rotation = asQuat(place.rotation);
    return segment && rotation ? { kind: 'attached', figure, segment, offset, rotation } : null;
  }
  return null;
}

function readLoad({ id, fields }: Row): Load | null {
  const shape = readShape(fields.get('shape'));
  const place = readPlace(fields.get('place'));
  if (shape === null || place === null) return null;
  const material = asOneOf(fields.get('material'), MATERIALS);
  const centre = asVec3(fields.get('centre'));
  const look = asOneOf(fields.get('look'), LOAD_LOOKS);
  const kinds = {
    ...(material === null ? {} : { material }),
    ...(centre === null ? {} : { centre }),
    ...(look === null ? {} : { look }),
  };
  return {
    id,
    name: asText(fields.get('name')) ?? id,
    shape,
    mass: massOf({ mass: asNumber(fields.get('mass')), shape, ...kinds }),
    ...kinds,
    place,
  };
}

function readSurface({ id, fields }: Row): Surface | null {
  const kind = asOneOf(fields.get('kind'), SURFACE_KINDS);
  const position = asVec3(fields.get('position'));
  const rotation = asQuat(fields.get('rotation'));
  if (kind === null || position === null || rotation === null) return null;
  return {
    id,
    name: asText(fields.get('name')) ?? id,
    kind,
    position,
    rotation,
    size: asVec3(fields.get('size')),
    friction: asNumber(fields.get('friction')) ?? 0.7,
    ...readParts(fields),
  };
}

function readParts(fields: Row['fields']): Pick<Surface, 'pair' | 'parts'> {
  const pair = asText(fields.get('pair'));
  const given = asRecord(fields.get('parts'));
  const parts: Record<string, number> = {};
  for (const name of ['back', 'arms', 'steps']) {
    const value = asNumber(given?.[name]);
    if (value !== null) parts[name] = value;
  }
  return { ...(pair === null ? {} : { pair }), ...(given === null ? {} : { parts }) };
}

function readEnd(value: unknown): GripEnd | null {
  const end = asRecord(value);
  if (end?.kind === 'load') {
    const load = asText(end.load);
    return load === null ? null : { kind: 'load', load };
  }
  if (end?.kind === 'figure') {
    const figure = asText(end.figure);
    const segment = asOneOf(end.segment, SEGMENTS);
    return figure && segment ? { kind: 'figure', figure, segment } : null;
  }
  return null;
}

function readGrip({ id, fields }: Row): Grip | null {
  const a = readEnd(fields.get('a'));
  const b = readEnd(fields.get('b'));
  return a && b ? { id, a, b, open: fields.get('open') === true } : null;
}
