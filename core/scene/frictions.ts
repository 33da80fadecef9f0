/**
 * Static friction of pairs of materials. Trade values differ by a factor of two for one pair: these are
 * starting points, the number can be set by hand.
 */
export interface FrictionPair {
  readonly id: string;
  readonly word: string;
  readonly friction: number;
  readonly source: string;
}

const TABLE = 'College Physics (OpenStax), Table 5.1; read on howwhy.nfshost.com (Hill 2022)';
const PRACTICE = 'common practice, no source';

export const FRICTION_PAIRS: readonly FrictionPair[] = [
  { id: 'rubber-dry-concrete', word: 'rubber on dry concrete', friction: 1, source: TABLE },
  { id: 'shoes-wood', word: 'shoes on wood', friction: 0.9, source: TABLE },
  { id: 'rubber-wood', word: 'rubber on wood', friction: 0.8, source: PRACTICE },
  { id: 'rubber-wet-concrete', word: 'rubber on wet concrete', friction: 0.7, source: TABLE },
  { id: 'bare-wood', word: 'bare feet on wood', friction: 0.6, source: PRACTICE },
  { id: 'steel-steel', word: 'steel on steel, dry', friction: 0.6, source: TABLE },
  { id: 'cloth-wood', word: 'cloth on wood', friction: 0.4, source: PRACTICE },
  { id: 'wood-wood', word: 'wood on wood', friction: 0.5, source: TABLE },
  { id: 'metal-wood', word: 'metal on wood', friction: 0.5, source: TABLE },
  { id: 'wet-tile', word: 'shoes on wet tile', friction: 0.3, source: PRACTICE },
  { id: 'packed-snow', word: 'shoes on packed snow', friction: 0.2, source: PRACTICE },
  { id: 'wood-snow', word: 'waxed wood on wet snow', friction: 0.14, source: TABLE },
  { id: 'shoes-ice', word: 'shoes on ice', friction: 0.1, source: TABLE },
  { id: 'steel-oiled', word: 'steel on steel, oiled', friction: 0.05, source: TABLE },
];

export const frictionPair = (id: string | undefined): FrictionPair | null =>
  FRICTION_PAIRS.find((pair) => pair.id === id) ?? null;
