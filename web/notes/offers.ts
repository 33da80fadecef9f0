import type {
  BalanceReport,
  FigureReading,
  GroupReading,
  Margin,
} from '../../core/balance/index.ts';
import type { NoteWeight, Pin, Side } from '../../core/document/index.ts';
import type { Load, Scene } from '../../core/scene/index.ts';
import { centimetres, percent } from '../badge/words.ts';
import { nameOf, sayList } from '../bench/words.ts';

/** A note that a pose usually gets, to be taken into the field and changed; never sent by itself. */
export interface Offer {
  readonly text: string;
  readonly pin: Pin;
  readonly weight: NoteWeight;
}

/** Room below which a held pose is asked whether it is meant so tight, metres; common practice, no source. */
const TIGHT = 0.02;
/** Shares of the foot below and above which the weight reads as on the heels or the toes; no source. */
const HEELS = 0.2;
const TOES = 0.8;

/** Typical notes on a scene from its readings, the heaviest first; none where nothing stands out. */
export function typicalNotes(scene: Scene, report: BalanceReport): Offer[] {
  const rank: readonly NoteWeight[] = ['must', 'should', 'could'];
  return [
    ...report.groups.flatMap((group) => groupOffers(scene, report, group)),
    ...report.figures.flatMap((figure) => aloneOffers(scene, figure)),
  ].sort((a, b) => rank.indexOf(a.weight) - rank.indexOf(b.weight));
}

function groupOffers(scene: Scene, report: BalanceReport, group: GroupReading): Offer[] {
  const figure = scene.figures.find(({ id }) => group.members.includes(id));
  if (figure === undefined) return [];
  const plumb: Pin = { kind: 'plumb', figure: figure.id };
  const { margin, verdict, footPosition } = group;
  if (verdict === 'unknown') return missingMasses(scene, group);
  if (verdict === 'airborne') {
    const text = 'Nothing touches here: in the air on purpose, or a foot on the floor?';
    return [{ text, pin: plumb, weight: 'should' }];
  }
  if (margin === null) return [];
  const { heading } = margin;
  const side = sideOf(heading);
  const edge: Pin = { kind: 'edge', figure: figure.id, side };
  const away = centimetres(margin.distance);
  const mend = sayWays(mendingWays(scene, report, group, margin));
  if (verdict === 'falls') {
    const text = `Centre ${away} ${beyond(report, group, side)}: ${mend}.`;
    return [{ text, pin: plumb, weight: 'must' }];
  }
  if (verdict === 'teeters') {
    const text = `Centre ${away} inside the ${side} edge, too near it to stay: ${mend}.`;
    return [{ text, pin: edge, weight: 'should' }];
  }
  if (verdict !== 'holds') return [];
  if (margin.distance < TIGHT) {
    const text = `Holds with ${away} of room ${heading}: meant to be that tight? If not, ${mend}.`;
    return [{ text, pin: edge, weight: 'could' }];
  }
  if (footPosition === null || (footPosition >= HEELS && footPosition <= TOES)) return [];
  const part = footPosition < HEELS ? 'heels' : 'toes';
  const text = `Weight on the ${part} (line at ${percent(footPosition)} of the foot): does the rest of the pose say so?`;
  return [{ text, pin: plumb, weight: 'could' }];
}

/** Where the plumb line is when it is outside. */
function beyond({ contacts }: BalanceReport, group: GroupReading, side: Side): string {
  const own = contacts.filter(({ owner }) => group.members.includes(owner));
  const feet = own.every(({ patch }) => /^(sole|toes)/.test(patch));
  if (feet && side === 'front') return 'before the toes';
  if (feet && side === 'back') return 'behind the heels';
  return `outside the ${side} edge of the support`;
}

/** The side that a heading is towards; of two the first, e.g. front for "forwards and to the left". */
function sideOf(heading: string): Side {
  if (heading.startsWith('forwards')) return 'front';
  if (heading.startsWith('backwards')) return 'back';
  return heading === 'to the left' ? 'left' : 'right';
}

/** Which way the hips go to bring the centre back from a side. */
const OPPOSITE: Readonly<Record<Side, string>> = {
  front: 'back',
  back: 'forward',
  left: 'to the right',
  right: 'to the left',
};

/** Usual mends, in the order in which they are tried; common practice, no source. */
function mendingWays(
  scene: Scene,
  report: BalanceReport,
  group: GroupReading,
  { heading, direction }: Margin,
): string[] {
  const side = sideOf(heading);
  const { plumb } = group;
  const pulls = (load: Load): boolean => {
    const centre = report.loads[load.id]?.centre;
    if (centre === undefined || plumb === null || load.place.kind === 'standing') return false;
    const ahead = (centre[0] - plumb[0]) * direction[0] + (centre[2] - plumb[1]) * direction[1];
    return group.members.includes(load.id) && ahead > 0;
  };
  const loads = scene.loads.filter(pulls);
  const ways = [`hips ${OPPOSITE[side]}`];
  if (loads.length > 0) ways.push(`a lighter ${loads.length === 1 ? 'load' : 'pair of loads'}`);
  else if (side === 'front' || side === 'back') ways.push('a foot underneath');
  else ways.push('the foot farther out');
  return ways;
}

const sayWays = (ways: readonly string[]): string => ways.join(', or ');

function missingMasses(scene: Scene, group: GroupReading): Offer[] {
  return scene.loads
    .filter(({ id, mass }) => mass === null && group.members.includes(id))
    .map(({ id, name }) => ({
      text: `How heavy is the ${name} meant to be? Without it nobody can tell whether this holds.`,
      pin: { kind: 'load', load: id },
      weight: 'should',
    }));
}

/** What a figure that is held by others owes the pose. */
function aloneOffers(scene: Scene, figure: FigureReading): Offer[] {
  const grips = scene.grips.filter(
    ({ a, b, open }) =>
      !open && [a, b].some((end) => end.kind === 'figure' && end.figure === figure.figure),
  );
  const [grip] = grips;
  if (figure.verdict !== 'held' || grip === undefined) return [];
  const others = [grip.a, grip.b].flatMap((end) =>
    end.kind === 'figure' && end.figure !== figure.figure ? [nameOf(scene, end.figure)] : [],
  );
  const by = others.length === 0 ? 'the grip' : sayList(others);
  const text = `${nameOf(scene, figure.figure)} stands only because of ${by}: let the arms show the pull.`;
  return [{ text, pin: { kind: 'grip', grip: grip.id }, weight: 'could' }];
}
