import type { Vec2 } from '../../geometry/index.ts';
import { EDGES, headingOf } from '../heading.ts';
import { buildProgram, oracleOf } from '../region/index.ts';
import { liesOn, pressed, SAME_PLACE } from './limits.ts';
import { contactProgram, type Rig } from './rig.ts';
import type { Edges, SupportEdge, Told } from './types.ts';
import { cannotTell, contactWords } from './words.ts';

/** Shorter edges of a rounded border say nothing of their own, metres. */
const SHORT = 1e-6;

/** Which contacts make which edge of the support. */
export function edgesOf(rig: Rig): Told<Edges> {
  const { support, margin } = rig.reading;
  const what = 'which contacts make the edges';
  if (support.contacts.length === 0) return cannotTell(what, 'nothing touches a surface');
  if (support.polygon.length < 2)
    return cannotTell(
      what,
      support.polygon.length === 1
        ? 'everything rests on one point'
        : 'no place of the centre could be held',
    );
  const { polygon } = support;
  const count = polygon.length === 2 ? 1 : polygon.length;
  const makes = makersOf(rig);
  const edges: SupportEdge[] = [];
  let nearest: number | null = null;
  for (let i = 0; i < count; i++) {
    const from = polygon[i]!;
    const to = polygon[(i + 1) % polygon.length]!;
    const size = Math.hypot(to[0] - from[0], to[1] - from[1]);
    if (size < SHORT || support.open?.includes(i) === true) continue;
    if (margin !== null && same(margin.edge.from, from) && same(margin.edge.to, to))
      nearest = edges.length;
    const outward: Vec2 = [(to[1] - from[1]) / size, (from[0] - to[0]) / size];
    const side = EDGES[headingOf(outward, rig.forward)];
    edges.push({ from, to, side, ...makes(from, to, outward) });
  }
  return { kind: 'told', sentence: sentenceOf(rig, edges, nearest), edges, nearest };
}

const same = (a: Vec2, b: Vec2): boolean => a[0] === b[0] && a[1] === b[1];

type Makers = (from: Vec2, to: Vec2, outward: Vec2) => Pick<SupportEdge, 'contacts' | 'made'>;

function makersOf(rig: Rig): Makers {
  const { contacts, reading, linkage } = rig;
  const lying: Makers = (from, to) => ({
    contacts: contacts.filter((contact) => liesOn(contact, from, to)).map(({ id }) => id),
    made: 'outline',
  });
  if (reading.support.basis === 'hull') return lying;
  if (linkage.bodies.length > 1)
    return (from, to) => ({ contacts: lying(from, to, [0, 0]).contacts, made: 'grips' });

  // One body at different heights: ask the region in the edge's own direction what still presses.
  const read = contactProgram(rig);
  if (read === null) return lying;
  const program = buildProgram({
    ...read.spec,
    bodies: [{ weight: 1, centre: null }],
    loads: true,
  });
  const oracle = oracleOf(program, 1);
  const corner = (p: Vec2): boolean =>
    contacts.some(({ outline }) =>
      outline.some(([x, , z]) => Math.hypot(x - p[0], z - p[1]) < SAME_PLACE),
    );
  return (from, to, [x, z]) => {
    const made = corner(from) && corner(to) ? 'outline' : 'friction';
    if (oracle(x, z) === null) return { contacts: [], made };
    const still = pressed(contacts, read.patches, (patch) =>
      program.simplex.read(program.loadRows[patch]! + 1),
    );
    return { contacts: still.map(({ id }) => id), made };
  };
}

function sentenceOf(rig: Rig, edges: readonly SupportEdge[], nearest: number | null): string {
  const edge = nearest === null ? undefined : edges[nearest];
  const { margin } = rig.reading;
  if (edge === undefined || margin === null)
    return 'Braced without limit: no edge ends the support.';
  const makers = rig.contacts.filter(({ id }) => edge.contacts.includes(id));
  const heading = headingOf(margin.direction, rig.forward);
  if (edge.made === 'grips')
    return `The nearest border, ${heading}, is where one can no longer hold the other.`;
  if (makers.length === 0)
    return `The nearest edge, ${heading}, is made by pushes against each other.`;
  const how = edge.made === 'friction' ? ', by their friction' : '';
  return `The nearest edge, ${heading}, is made by ${contactWords(makers, rig.owners, heading === 'backwards')}${how}.`;
}
