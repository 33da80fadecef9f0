import { html, nothing, svg } from 'lit';
import {
  type Call,
  type Person,
  progressOf,
  type Score,
  type ShownCall,
  type Step,
  scoreOf,
  summaryOf,
} from '../../core/document/index.ts';
import { VERDICT_WORDS } from '../badge/words.ts';
import { personMark } from '../styles/person-mark.ts';
import { sayWhen } from '../styles/when.ts';
import type { Calling } from './calling.ts';

const cm = (metres: number | null): string =>
  metres === null ? '\u2013' : `${(metres * 100).toFixed(1)}\u00a0cm`;
const number = (value: number | null, unit: number, digits: number): string =>
  value === null ? '\u2013' : (value * unit).toFixed(digits);
const percent = (share: number | null): string =>
  share === null ? '\u2013' : `${(share * 100).toFixed(0)}\u202f%`;

/** One shown call: the truth, how all did together, and each person's distance, the nearest first. */
export function renderShown(
  call: ShownCall,
  {
    calling,
    people,
    me,
  }: {
    readonly calling: Calling;
    readonly people: ReadonlyMap<string, Person>;
    readonly me: string;
  },
) {
  const { truth, answers, id } = call;
  const summary = summaryOf(call);
  const rows = answers
    .map((answer) => ({ answer, score: scoreOf(answer, truth) }))
    .sort((a, b) => (a.score.plumb ?? 0) - (b.score.plumb ?? 0));
  const isLaid = calling.laid === id;
  return html`<section class="shown" aria-label="Shown ${sayWhen(call.shownAt, new Date())}">
    <h3>Shown ${sayWhen(call.shownAt, new Date())}</h3>
    <p>${truth.sentence}</p>
    <p>
      ${summary.count === 1 ? '1 call' : `${summary.count} calls`}; ${summary.rightVerdicts} said
      ${VERDICT_WORDS[truth.verdict]}.
      ${
        summary.medianPlumb === null
          ? nothing
          : html`Half of them are within ${cm(summary.medianPlumb)} of the plumb point
            (${percent(summary.medianFootShare)} of the foot).`
      }
    </p>
    <button
      aria-pressed=${isLaid}
      @click=${() => calling.set({ laid: isLaid ? null : id, marked: null })}
    >Lay the calls over the drawing</button>
    ${
      rows.length === 0
        ? nothing
        : html`<table>
            <caption class="hidden-text">Distance of each call from the truth</caption>
            <thead>
              <tr>
                <th scope="col">Who</th>
                <th scope="col">plumb, cm</th>
                <th scope="col">% of foot</th>
                <th scope="col">centre, cm</th>
              </tr>
            </thead>
            <tbody>
              ${rows.map(({ answer, score }) => {
                const known = people.get(answer.person);
                const mark = (): void => calling.set({ laid: id, marked: answer.person });
                return html`<tr class=${answer.person === me ? 'me' : ''}>
                  <th scope="row">
                    <span class="who">
                      ${personMark(known?.ink ?? 0)}
                      <button
                        aria-pressed=${isLaid && calling.marked === answer.person}
                        @click=${mark}
                      >${known?.name ?? 'Someone'}</button>
                    </span>
                    <span class="said">${said(answer.verdict, answer.heading, score)}</span>
                  </th>
                  <td>${number(score.plumb, 100, 1)}</td>
                  <td>${number(score.footShare, 100, 0)}</td>
                  <td>${number(score.centre, 100, 1)}</td>
                </tr>`;
              })}
            </tbody>
          </table>`
    }
  </section>`;
}

function said(
  verdict: ShownCall['answers'][number]['verdict'],
  heading: string | null,
  score: Score,
) {
  const right = score.verdict && score.heading !== false;
  return html`${VERDICT_WORDS[verdict]}${heading === null ? '' : ` ${heading}`}
    <span class="pencil">${right ? 'right' : score.verdict ? 'another way' : 'not so'}</span>`;
}

const WIDTH = 300;
const HEIGHT = 72;

/** What one person called over time, over all shots of the review. */
export function renderProgress(
  calls: readonly Call[],
  {
    people,
    me,
    whose,
    choose,
  }: {
    readonly people: ReadonlyMap<string, Person>;
    readonly me: string;
    readonly whose: string;
    readonly choose: (person: string) => void;
  },
) {
  const callers = new Set(
    calls.flatMap((call) =>
      call.state === 'shown' ? call.answers.map(({ person }) => person) : [],
    ),
  );
  if (callers.size === 0) return nothing;
  const steps = progressOf(calls, whose);
  const name = (person: string): string =>
    person === me ? 'You' : (people.get(person)?.name ?? 'Someone');
  const chosen = callers.has(whose) ? whose : '';
  return html`<section class="progress" aria-label="Over time">
    <h3>Over time</h3>
    <label>
      Whose calls
      <select @change=${(event: Event) => choose((event.currentTarget as HTMLSelectElement).value)}>
        ${chosen === '' ? html`<option value="" disabled selected>choose</option>` : nothing}
        ${[...callers].map(
          (person) =>
            html`<option value=${person} .selected=${person === chosen}>${name(person)}</option>`,
        )}
      </select>
    </label>
    ${steps.length === 0 ? html`<p class="pencil">${chosen === '' ? 'You have not called yet.' : 'Nothing called yet.'}</p>` : renderLine(steps)}
  </section>`;
}

function renderLine(steps: readonly Step[]) {
  const distances = steps.map(({ score }) => score.plumb);
  const most = Math.max(0.05, ...distances.map((metres) => metres ?? 0));
  const x = (index: number): number => 8 + (index * (WIDTH - 16)) / Math.max(1, steps.length - 1);
  const y = (metres: number): number => HEIGHT - 6 - (metres / most) * (HEIGHT - 14);
  const points = distances.flatMap((metres, index) =>
    metres === null ? [] : [{ x: x(index), y: y(metres), right: steps[index]!.score.verdict }],
  );
  const right = steps.filter(({ score }) => score.verdict).length;
  const [first, last] = [distances[0] ?? null, distances.at(-1) ?? null];
  const sentence =
    steps.length === 1
      ? `1 call, ${cm(first)} off.`
      : `${steps.length} calls, ${right} with the right verdict; ${cm(first)} off at first, ${cm(last)} at the last.`;
  return html`<svg class="chart" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label=${sentence}>
      <line class="base" x1="0" x2=${WIDTH} y1=${HEIGHT - 6} y2=${HEIGHT - 6} />
      <polyline points=${points.map((at) => `${at.x},${at.y}`).join(' ')} />
      ${points.map((at) => svg`<circle class=${at.right ? 'right' : ''} cx=${at.x} cy=${at.y} r="4" />`)}
    </svg>
    <p>${sentence}</p>`;
}
