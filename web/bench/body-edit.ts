import {
  type BodySpec,
  type ExtraKind,
  type ExtraSpec,
  freshExtra,
  SEGMENTS,
  type SegmentName,
  type SegmentOverride,
} from '../../core/body/index.ts';
import { extraField, overrideField } from '../../core/document/index.ts';

/** What a body form changes: fields of a body (core/document), undefined for back to the table. */
export type BodyFields = Readonly<Record<string, unknown>>;

/** A change of a body: `live` while a slider moves, otherwise one undo step called `done`. */
export interface BodyChange {
  readonly fields: BodyFields;
  readonly done: string;
  readonly live: boolean;
}

/** Parts of a body that are set together, as sliders speak of them. */
export const BODY_PARTS = {
  head: { word: 'head', segments: ['head'] },
  chest: { word: 'chest', segments: ['chest'] },
  abdomen: { word: 'waist', segments: ['abdomen'] },
  pelvis: { word: 'hips', segments: ['pelvis'] },
  upperArm: { word: 'upper arms', segments: ['upperArmL', 'upperArmR'] },
  forearm: { word: 'forearms', segments: ['forearmL', 'forearmR'] },
  hand: { word: 'hands', segments: ['handL', 'handR'] },
  thigh: { word: 'thighs', segments: ['thighL', 'thighR'] },
  shank: { word: 'shanks', segments: ['shankL', 'shankR'] },
  foot: { word: 'feet', segments: ['footL', 'footR'] },
  toes: { word: 'toes', segments: ['toesL', 'toesR'] },
} as const satisfies Readonly<
  Record<string, { readonly word: string; readonly segments: readonly SegmentName[] }>
>;
export type BodyPart = keyof typeof BODY_PARTS;

export type Side = 'both' | 'L' | 'R';

/** The segments of a part on a side; both where it has no sides. */
export function segmentsOf(part: BodyPart, side: Side): readonly SegmentName[] {
  const { segments } = BODY_PARTS[part];
  return segments.length === 1 || side === 'both'
    ? segments
    : segments.filter((name) => name.endsWith(side));
}

/** Sets one factor of some segments; at 1 it is taken out again. */
export function withFactor(
  body: BodySpec,
  segments: readonly SegmentName[],
  what: keyof SegmentOverride,
  factor: number,
): BodyFields {
  return Object.fromEntries(
    segments.map((name) => {
      const { [what]: _, ...rest } = body.overrides?.[name] ?? {};
      const next: SegmentOverride = factor === 1 ? rest : { ...rest, [what]: factor };
      return [overrideField(name), Object.keys(next).length === 0 ? undefined : next];
    }),
  );
}

const both = (part: BodyPart, override: SegmentOverride): BodyFields =>
  Object.fromEntries(BODY_PARTS[part].segments.map((name) => [overrideField(name), override]));

/** Stylised starts by a word, each a set of factors that goes on top of what is set. */
export const STYLES: Readonly<Record<string, BodyFields>> = {
  'large head': both('head', { length: 1.8, girth: 1, mass: 3 }),
  'short legs': {
    ...both('thigh', { length: 0.6, mass: 0.7 }),
    ...both('shank', { length: 0.6, mass: 0.7 }),
  },
  'heavy forearms': both('forearm', { girth: 2, mass: 3.5 }),
  'large feet': both('foot', { length: 1.5, girth: 1.4, mass: 2 }),
};

/** Every factor back to the table. */
export const plainAgain = (): BodyFields =>
  Object.fromEntries(SEGMENTS.map((name) => [overrideField(name), undefined]));

/** What can be added in one go: wings come in pairs. */
export const EXTRA_CHOICES = {
  tail: ['tail'],
  wings: ['wingL', 'wingR'],
  hump: ['hump'],
  'long neck': ['neck'],
} as const satisfies Readonly<Record<string, readonly ExtraKind[]>>;

export const EXTRA_WORDS: Readonly<Record<ExtraKind, string>> = {
  tail: 'tail',
  wingL: 'left wing',
  wingR: 'right wing',
  hump: 'hump',
  neck: 'long neck',
};

/** New extra parts under free ids: "tail", "tail2". */
export function addExtras(body: BodySpec, kinds: readonly ExtraKind[]): BodyFields {
  const taken = new Set(Object.keys(body.extras ?? {}));
  return Object.fromEntries(
    kinds.map((kind) => {
      let id: string = kind;
      for (let n = 2; taken.has(id); n++) id = `${kind}${n}`;
      taken.add(id);
      return [extraField(id), freshExtra(kind)];
    }),
  );
}

/** One extra part with some of its values changed; wings change in pairs. */
export function withExtra(body: BodySpec, id: string, change: Partial<ExtraSpec>): BodyFields {
  const extras = body.extras ?? {};
  const { kind } = extras[id]!;
  const pair = kind.startsWith('wing') && change.parent === undefined;
  const touched = Object.entries(extras).filter(
    ([other, extra]) => other === id || (pair && extra.kind.startsWith('wing')),
  );
  return Object.fromEntries(
    touched.map(([other, { turn: _, curl: __, ...extra }]) => [
      extraField(other),
      { ...extra, ...change },
    ]),
  );
}
