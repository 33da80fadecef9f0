import { mainGroup } from '../balance/index.ts';
import {
  type NoteRecord,
  type Person,
  pinLabel,
  type ShotRecord,
  scoreOf,
  stateWord,
  summaryOf,
} from '../document/index.ts';
import {
  centimetres,
  centreText,
  drawCard,
  percent,
  readingMargin,
  supportText,
  tellingView,
  VERDICT_WORDS,
} from '../drawing/index.ts';
import type { Scene } from '../scene/types.ts';
import { marginWords, motionWords } from './margin-words.ts';
import { dayText, timeText } from './times.ts';
import type { Block, Weighed } from './types.ts';

type Drawn = Extract<Weighed, { scene: Scene }>;

const NOTHING: Scene = { figures: [], loads: [], surfaces: [], grips: [] };

const line = (text: string, quiet = false): Block => ({ kind: 'line', text, quiet });
const pair = (name: string, value: string): Block => ({ kind: 'pair', name, value });

/**
 * What a sheet says of one shot: drawings, readings, balance history, decisions, calls, notes in order.
 * @param weighed its current draft; null where it has none
 */
export function shotBlocks(
  shot: ShotRecord,
  weighed: Weighed | null,
  people: readonly Person[],
): Block[] {
  const drawn = weighed !== null && 'scene' in weighed ? weighed : null;
  return [
    head(shot),
    ...current(shot, weighed),
    ...drafts(shot),
    ...decisions(shot),
    ...calls(shot, people),
    ...notes(shot, drawn?.scene ?? NOTHING),
  ];
}

/** The two drawings of a weighed draft as SVG: the view that tells most, and one beside it. */
export function drawingsOf(
  { scene, report }: Drawn,
  size: { readonly width: number; readonly height: number },
): readonly [string, string] {
  const telling = tellingView(report);
  const draw = (view: 'front' | 'side'): string =>
    drawCard(scene, report, {
      ...{ view, theme: 'paper', ground: 'sheet', labels: true },
      ...size,
    });
  return [draw(telling), draw(telling === 'side' ? 'front' : 'side')];
}

function head(shot: ShotRecord): Block {
  const [first, last] = shot.frames;
  const terms = [
    shot.sequenceTitle,
    stateWord(shot.state),
    shot.assignedName === null ? 'nobody has it' : `assigned to ${shot.assignedName}`,
    ...(shot.due === null ? [] : [`due ${dayText(shot.due)}`]),
    ...(first === last ? [] : [`frames ${first} to ${last} at ${shot.rate} a second`]),
  ];
  return { kind: 'head', title: `${shot.code}  ${shot.title}`.trim(), terms: terms.join('; ') };
}

function current({ hidden }: ShotRecord, weighed: Weighed | null): Block[] {
  if (weighed === null) return [line('No draft yet.', true)];
  if (hidden) return [line('Its readings are hidden while the call is made.')];
  if ('scene' in weighed) return readings(weighed);
  return [line(`This draft cannot be weighed: ${weighed.problem}`)];
}

function readings(weighed: Drawn): Block[] {
  const { scene, report } = weighed;
  const main = mainGroup(report);
  const drawings: Block = { kind: 'drawings', weighed };
  if (main === undefined) return [drawings, line('Nothing to weigh yet.', true)];
  const { verdict, sentence } = main;
  const nameOf = (id: string): string =>
    scene.figures.find((figure) => figure.id === id)?.name ?? id;
  return [
    drawings,
    { kind: 'verdict', word: VERDICT_WORDS[verdict], verdict, sentence },
    pair('Centre', centreText(main)),
    pair('Support', supportText(main)),
    pair('Margin', readingMargin(main)),
    ...(report.figures.length > 1
      ? report.figures.map((one) => pair(`${nameOf(one.figure)} alone`, one.sentence))
      : []),
  ];
}

/** A part with its title, where there is something in it. */
const part = (title: string, blocks: readonly Block[]): Block[] =>
  blocks.length === 0 ? [] : [{ kind: 'part', title }, ...blocks];

/** The balance history: each draft with its margin, its notes and the states that it was given. */
const drafts = (shot: ShotRecord): Block[] =>
  part(
    'Margin over the drafts',
    shot.drafts.map((draft) => {
      const noted = shot.notes.filter((note) => note.draft === draft.id).length;
      const states = shot.decisions
        .filter((decision) => decision.draft === draft.id)
        .map(({ to }) => stateWord(to));
      const says = [
        ...(draft.title === '' ? [] : [draft.title]),
        draft.reading === null ? 'not weighed yet' : marginWords(draft.reading),
        ...(draft.reading?.moving === undefined
          ? []
          : [motionWords(draft.reading.moving, shot.frames[0])]),
        ...(noted === 0 ? [] : [noted === 1 ? '1 note' : `${noted} notes`]),
        ...states,
        ...(draft.sealed ? ['sealed'] : []),
      ];
      return pair(`Draft ${draft.number}`, says.join('; '));
    }),
  );

const decisions = (shot: ShotRecord): Block[] =>
  part(
    'Decisions',
    shot.decisions.map(({ from, to, name, at, draftNumber, reading }) => {
      const about = draftNumber === null ? '' : `, draft ${draftNumber}`;
      const balance = reading === null ? '' : `: ${marginWords(reading)}`;
      return line(
        `${timeText(at)}: ${name} set it from ${stateWord(from)} to ${stateWord(to)}${about}${balance}`,
      );
    }),
  );

/** Calls that were shown: the truth, how near everybody came together, then each. */
function calls({ calls: all, drafts: known }: ShotRecord, people: readonly Person[]): Block[] {
  const shown = all.filter((call) => call.state === 'shown');
  const blocks = shown.flatMap((call): Block[] => {
    const { truth, answers } = call;
    const number = known.find(({ id }) => id === call.draft)?.number;
    const { count, rightVerdicts, medianPlumb } = summaryOf(call);
    const median =
      medianPlumb === null ? '' : `, half of them nearer than ${centimetres(medianPlumb)}`;
    return [
      line(
        `${timeText(call.shownAt)}, draft ${number ?? 'that is gone'}: ${truth.sentence} ` +
          `${count} called, ${rightVerdicts} with the right verdict${median}.`,
      ),
      ...answers.map((answer) => {
        const name = people.find(({ id }) => id === answer.person)?.name ?? 'Someone';
        const { plumb, footShare } = scoreOf(answer, truth);
        const share = footShare === null ? '' : `, ${percent(footShare)} of a foot`;
        const off = plumb === null ? '' : `, ${centimetres(plumb)} off${share}`;
        return pair(name, `${VERDICT_WORDS[answer.verdict]}${off}`);
      }),
    ];
  });
  return part('Calls', blocks);
}

const notes = (shot: ShotRecord, scene: Scene): Block[] =>
  part(
    'Notes',
    shot.notes.length === 0
      ? [line('No notes.', true)]
      : shot.notes.map((note) => ({
          kind: 'note',
          number: note.number,
          head: noteHead(note, scene),
          text: note.text,
          foot: noteFoot(note),
          replies: note.replies.map(({ name, at, text }) => ({
            head: `${name}, ${timeText(at)}`,
            text,
          })),
        })),
  );

const WEIGHT_WORDS = { must: 'must', should: 'should', could: 'could be better' } as const;

function noteHead(note: NoteRecord, scene: Scene): string {
  return [
    note.name,
    timeText(note.at),
    note.draftNumber === null ? 'a draft that is gone' : `draft ${note.draftNumber}`,
    ...(note.frame === null ? [] : [`frame ${note.frame}`]),
    pinLabel(scene, note.pin),
    WEIGHT_WORDS[note.weight],
  ].join('; ');
}

function noteFoot({ state, reason, stateBy, askedName }: NoteRecord): string {
  const word = state === 'kept' ? `kept on purpose: ${reason}` : state;
  const who = stateBy === null ? '' : ` (${stateBy.name}, ${timeText(stateBy.at)})`;
  return `${word}${who}${askedName === null ? '' : `; asked of ${askedName}`}`;
}
