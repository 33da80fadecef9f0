import type { Study, Subject } from '../../core/balance/index.ts';
import type { Shown } from './shown.ts';
import { nameOf, sayList } from './words.ts';

/** Sentences that belong together, under what they are about. */
export interface Said {
  readonly about: string;
  readonly sentences: readonly string[];
}

const ABOUT: Readonly<Record<Subject, string>> = {
  loads: 'What carries it',
  friction: 'Friction',
  tipping: 'Tipping',
  pushes: 'Pushes',
  edges: 'Edges',
  grips: 'Grips',
  'letting go': 'Letting go',
  'implied weight': 'Implied weight',
  partner: 'Weight of each',
  growth: 'A growing load',
  reaching: 'Reaching out',
  sensitivity: 'What moves the centre',
  sturdiness: 'How sturdy it is',
};

/** Everything that the readings say, group by group: the verdict first, then each subject. */
export function sentencesOf({ scene, report }: Shown, { groups }: Study): Said[] {
  const several = groups.length > 1;
  return groups.flatMap(({ id, members, sentences }) => {
    const names = sayList(members.map((member) => nameOf(scene, member)));
    const about = (what: string): string => (several ? `${what}: ${names}` : what);
    const whole = report.groups.find((group) => group.id === id);
    const alone = report.figures.filter(({ group }) => group === id);
    const verdicts = [
      ...(whole === undefined ? [] : [whole.sentence]),
      ...(alone.length < 2
        ? []
        : alone.map(({ figure, sentence }) => `${nameOf(scene, figure)} alone: ${sentence}`)),
    ];
    const subjects = new Map<Subject, string[]>();
    for (const { subject, text } of sentences)
      subjects.set(subject, [...(subjects.get(subject) ?? []), text]);
    return [
      { about: about('Verdict'), sentences: verdicts },
      ...[...subjects].map(([subject, texts]) => ({
        about: about(ABOUT[subject]),
        sentences: texts,
      })),
    ];
  });
}

/** The same as plain text, one sentence a line. */
export const saidText = (said: readonly Said[]): string =>
  said
    .flatMap(({ about, sentences }) => [about, ...sentences, ''])
    .join('\n')
    .trim();
