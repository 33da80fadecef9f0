import { html, nothing, type TemplateResult } from 'lit';
import '../badge/badge.ts';
import { badgeReadings } from '../badge/readings.ts';
import { nameOf, sayList } from '../bench/words.ts';
import '../motion/motion-badge.ts';
import { isPictured, type LiveDraft } from '../session/index.ts';

/** The badges of a draft: one in full for each group of figures, a line for whatever stands by itself. */
export function renderBadges(live: LiveDraft): TemplateResult {
  const { figures } = live.report;
  if (live.hidden) {
    return html`<p class="pencil">The readings of this shot are hidden until its call is shown.</p>`;
  }
  if (live.problem !== null) {
    return html`<p role="alert">This draft cannot be weighed: ${live.problem}</p>`;
  }
  if (live.report.groups.length === 0) {
    return html`<p class="pencil">Nothing to weigh yet: add a figure on the bench.</p>`;
  }
  const { scene, report } = live;
  const { groups, alone, byThemselves } = badgeReadings(scene, report);
  const several = figures.length > 1;
  // A picture has no speed: its badges say already what it shows.
  const moves = live.motion !== null && !isPictured(live);
  const figureName = (id: string): string =>
    scene.figures.find((figure) => figure.id === id)?.name ?? '';
  const rows = [
    ...alone.map((reading) => [`${nameOf(scene, reading.figure)} alone`, reading] as const),
    ...byThemselves.map(
      (reading) => [sayList(reading.members.map((id) => nameOf(scene, id))), reading] as const,
    ),
  ];
  return html`
    ${moves ? html`<cl-motion-badge .live=${live} .frame=${live.frame}></cl-motion-badge>` : nothing}
    ${groups.map(
      (group) => html`<cl-badge
        announce
        .reading=${group}
        .subject=${several ? group.members.map(figureName).filter(Boolean).join(' and ') : moves ? 'As a held pose' : ''}
      ></cl-badge>`,
    )}
    ${
      rows.length === 0
        ? nothing
        : html`<ul class="alone" aria-label="Each by itself">
            ${rows.map(
              ([name, reading]) => html`<li>
                <span>${name}</span>
                <cl-badge compact .reading=${reading}></cl-badge>
              </li>`,
            )}
          </ul>`
    }
  `;
}
