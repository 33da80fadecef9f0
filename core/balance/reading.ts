import type { Contact } from '../contact/index.ts';
import { signedMargin, type Vec2 } from '../geometry/index.ts';
import type { PosedFigure } from '../pose/index.ts';
import { type Figure, facing } from '../scene/index.ts';
import { carryingFeet, footPosition } from './feet.ts';
import { groundOfJoined } from './joined.ts';
import type { Linkage } from './linkage.ts';
import { marginOf } from './margin.ts';
import { tell } from './sentence.ts';
import { type Ground, groundOf } from './support.ts';
import type { Reading } from './types.ts';
import { DEAD_BAND, verdictOf } from './verdict.ts';
import { type Part, weigh } from './weight.ts';

/** A figure of the scene in the world. */
export interface Someone {
  readonly figure: Figure;
  readonly posed: PosedFigure;
}

/** What is weighed as one body. */
export interface Subject {
  /** In a fixed order (by id); may be empty (a load that stands by itself). */
  readonly people: readonly Someone[];
  /** Everything with weight, in a fixed order. */
  readonly parts: readonly Part[];
  /** Everything it rests on. */
  readonly contacts: readonly Contact[];
  /** Where it is of several bodies: those, each of which must balance itself. */
  readonly linkage?: Linkage;
}

/**
 * Which way "forwards" is without a figure (a load by itself): +z.
 */
const AHEAD: Vec2 = [0, 1];

/** The three readings of a subject at rest, its verdict and the sentence that explains it. */
export function readingOf({ people, parts, contacts, linkage }: Subject): Reading {
  const { mass, centre, missing } = weigh(parts);
  const plumb: Vec2 | null = centre === null ? null : [centre[0], centre[2]];
  const whole = groundOf(contacts, linkage === undefined);
  // The outline round all is necessary, not enough: only over it the bodies are asked one by one.
  const joined = linkage !== undefined && plumb !== null && isOver(plumb, whole);
  const ground = joined ? groundOfJoined(linkage, plumb, whole) : whole;
  const feet = people.flatMap(({ figure, posed }) => carryingFeet(figure.id, posed, contacts));
  const guide = heaviest(people);
  const forward = guide === null ? AHEAD : facing(guide.posed.segments.pelvis.rotation);
  const length = guide?.posed.body.footLength ?? null;

  const margin = centre === null ? null : marginOf(centre, ground, forward, length);
  const along = plumb === null ? null : footPosition(plumb, feet);
  const verdict = plumb === null ? 'unknown' : verdictOf(ground.support, margin, plumb);
  const sentence = tell({
    verdict,
    margin,
    ground,
    contacts,
    feet,
    footPosition: along,
    forward,
    facing: people.length > 1 && guide !== null ? guide.figure.name : null,
    missing,
  });
  return {
    mass,
    centre,
    plumb,
    support: ground.support,
    margin,
    footPosition: along,
    verdict,
    sentence,
  };
}

/** Over the support or, where that is a line or a point, near enough to stand on it. */
function isOver(plumb: Vec2, { support }: Ground): boolean {
  const margin = signedMargin(plumb, support.polygon);
  return margin >= (support.kind === 'area' ? 0 : -DEAD_BAND);
}

/** The figure by whose facing directions are told: the heaviest, the first of equals. */
function heaviest(people: readonly Someone[]): Someone | null {
  let best: Someone | null = null;
  for (const someone of people)
    if (best === null || someone.figure.body.mass > best.figure.body.mass) best = someone;
  return best;
}
