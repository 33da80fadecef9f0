import { mainGroup } from '../../core/balance/index.ts';
import type { BalanceReport } from '../../core/balance/types.ts';
import {
  type NoteRecord,
  type Person,
  pinLabel,
  type ShotRecord,
  scoreOf,
  stateWord,
  summaryOf,
} from '../../core/document/index.ts';
import {
  centimetres,
  centreText,
  drawCard,
  percent,
  readingMargin,
  supportText,
  tellingView,
  VERDICT_WORDS,
  verdictInk,
} from '../../core/drawing/index.ts';
import type { Scene } from '../../core/scene/types.ts';
import { marginWords } from './margin-words.ts';
import type { Paper } from './paper.ts';
import { dayText, timeText } from './times.ts';

/** A draft as it was weighed for the sheet, or why it could not be. */
export type Weighed =
  | { readonly scene: Scene; readonly report: BalanceReport }
  | { readonly problem: string };

const NOTHING: Scene = { figures: [], loads: [], surfaces: [], grips: [] };

/** Writes the pages of one shot. The first begins on a new page. */
export function shotPages(
  paper: Paper,
  shot: ShotRecord,
  weighed: Weighed | null,
  people: readonly Person[],
): void {
  paper.newPage();
  paper.doc.addNamedDestination(destinationOf(shot));
  paper.doc.outline.addItem(`${shot.code} ${shot.title}`.trim());
  heading(paper, shot);
  if (weighed === null) paper.write('No draft yet.', { ink: 'pencil', after: 8 });
  else if ('problem' in weighed) {
    paper.write(`This draft cannot be weighed: ${weighed.problem}`, { after: 8 });
  } else drawn(paper, weighed);
  drafts(paper, shot);
  decisions(paper, shot);
  calls(paper, shot, people);
  notes(paper, shot, weighed !== null && 'scene' in weighed ? weighed.scene : NOTHING);
}

/** What a link to a shot leads to. */
export const destinationOf = ({ id }: Pick<ShotRecord, 'id'>): string => `shot ${id}`;

function heading(paper: Paper, shot: ShotRecord): void {
  paper.write(`${shot.code}  ${shot.title}`.trim(), { size: 18, face: 'bold', after: 2 });
  const [first, last] = shot.frames;
  const terms = [
    shot.sequenceTitle,
    stateWord(shot.state),
    shot.assignedName === null ? 'nobody has it' : `assigned to ${shot.assignedName}`,
    ...(shot.due === null ? [] : [`due ${dayText(shot.due)}`]),
    ...(first === last ? [] : [`frames ${first} to ${last} at ${shot.rate} a second`]),
  ];
  paper.write(terms.join('; '), { ink: 'pencil', after: 4 });
  paper.rule('ink', 1);
}

const DRAWING_HEIGHT = 250;

function drawn(paper: Paper, { scene, report }: { scene: Scene; report: BalanceReport }): void {
  const half = paper.width / 2;
  const size = { width: half - 10, height: DRAWING_HEIGHT };
  const top = paper.y;
  const telling = tellingView(report);
  for (const [index, view] of [telling, telling === 'side' ? 'front' : 'side'].entries()) {
    const svg = drawCard(scene, report, {
      ...{ view: view as 'front' | 'side', theme: 'paper', ground: 'sheet', labels: true },
      ...size,
    });
    paper.drawing(svg, { ...size, x: paper.left + index * (half + 5), y: top });
  }
  paper.y = top + DRAWING_HEIGHT + 10;
  const main = mainGroup(report);
  if (main === undefined) {
    paper.write('Nothing to weigh yet.', { ink: 'pencil', after: 8 });
    return;
  }
  const word = VERDICT_WORDS[main.verdict];
  paper.write(word, { size: 15, face: 'bold', ink: verdictInk(main.verdict), after: 1 });
  paper.write(main.sentence, { after: 4 });
  for (const [name, value] of [
    ['Centre', centreText(main)],
    ['Support', supportText(main)],
    ['Margin', readingMargin(main)],
  ] as const) {
    pair(paper, name, value);
  }
  if (report.figures.length > 1) {
    for (const figure of report.figures) {
      const name = scene.figures.find(({ id }) => id === figure.figure)?.name ?? figure.figure;
      pair(paper, `${name} alone`, figure.sentence);
    }
  }
  paper.y += 6;
}

const NAME_WIDTH = 96;

/** A word with what it says beside it. */
function pair(paper: Paper, name: string, value: string): void {
  paper.keepTogether(16);
  paper.line(name, { x: paper.left, y: paper.y, width: NAME_WIDTH - 8 }, { ink: 'pencil' });
  paper.write(value, { indent: NAME_WIDTH });
}

function part(paper: Paper, title: string): void {
  paper.keepTogether(60);
  paper.y += 6;
  paper.write(title, { size: 12, face: 'bold', after: 2 });
  paper.rule();
}

/** The balance history: each draft with its margin, its notes and the states that it was given. */
function drafts(paper: Paper, shot: ShotRecord): void {
  if (shot.drafts.length === 0) return;
  part(paper, 'Margin over the drafts');
  for (const draft of shot.drafts) {
    const noted = shot.notes.filter((note) => note.draft === draft.id).length;
    const states = shot.decisions
      .filter((decision) => decision.draft === draft.id)
      .map(({ to }) => stateWord(to));
    const says = [
      ...(draft.title === '' ? [] : [draft.title]),
      draft.reading === null ? 'not weighed yet' : marginWords(draft.reading),
      ...(noted === 0 ? [] : [noted === 1 ? '1 note' : `${noted} notes`]),
      ...states,
      ...(draft.sealed ? ['sealed'] : []),
    ];
    pair(paper, `Draft ${draft.number}`, says.join('; '));
  }
}

function decisions(paper: Paper, shot: ShotRecord): void {
  if (shot.decisions.length === 0) return;
  part(paper, 'Decisions');
  for (const { from, to, name, at, draftNumber, reading } of shot.decisions) {
    const about = draftNumber === null ? '' : `, draft ${draftNumber}`;
    const balance = reading === null ? '' : `: ${marginWords(reading)}`;
    paper.keepTogether(16);
    paper.write(
      `${timeText(at)}: ${name} set it from ${stateWord(from)} to ${stateWord(to)}${about}${balance}`,
      { after: 3 },
    );
  }
}

/** Calls that were shown: the truth, how near everybody came together, then each. */
function calls(
  paper: Paper,
  { calls: all, drafts: known }: ShotRecord,
  people: readonly Person[],
): void {
  const shown = all.filter((call) => call.state === 'shown');
  if (shown.length === 0) return;
  part(paper, 'Calls');
  for (const call of shown) {
    const { truth, answers } = call;
    const number = known.find(({ id }) => id === call.draft)?.number;
    const { count, rightVerdicts, medianPlumb } = summaryOf(call);
    const median =
      medianPlumb === null ? '' : `, half of them nearer than ${centimetres(medianPlumb)}`;
    paper.keepTogether(30);
    paper.write(
      `${timeText(call.shownAt)}, draft ${number ?? 'that is gone'}: ${truth.sentence} ` +
        `${count} called, ${rightVerdicts} with the right verdict${median}.`,
      { after: 3 },
    );
    for (const answer of answers) {
      const name = people.find(({ id }) => id === answer.person)?.name ?? 'Someone';
      const { plumb, footShare } = scoreOf(answer, truth);
      const share = footShare === null ? '' : `, ${percent(footShare)} of a foot`;
      const off = plumb === null ? '' : `, ${centimetres(plumb)} off${share}`;
      pair(paper, name, `${VERDICT_WORDS[answer.verdict]}${off}`);
    }
  }
}

const NOTE_INDENT = 22;

function notes(paper: Paper, shot: ShotRecord, scene: Scene): void {
  part(paper, 'Notes');
  if (shot.notes.length === 0) paper.write('No notes.', { ink: 'pencil' });
  for (const note of shot.notes) {
    paper.keepTogether(40);
    const place = { x: paper.left, y: paper.y, width: NOTE_INDENT - 4 };
    paper.line(String(note.number), place, { face: 'bold' });
    paper.write(noteHead(note, scene), { indent: NOTE_INDENT, ink: 'pencil', size: 9 });
    paper.write(note.text, { indent: NOTE_INDENT, after: 3 });
    paper.write(noteFoot(note), { indent: NOTE_INDENT, ink: 'pencil', size: 9, after: 2 });
    for (const { name, at, text } of note.replies) {
      paper.keepTogether(28);
      const indent = 2 * NOTE_INDENT;
      paper.write(`${name}, ${timeText(at)}`, { indent, ink: 'pencil', size: 9 });
      paper.write(text, { indent, after: 3 });
    }
    paper.y += 5;
  }
}

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
