import { html, type TemplateResult } from 'lit';
import { type Body, SEGMENTS, tableInfo } from '../../core/body/index.ts';
import { EXTRA_WORDS } from './body-edit.ts';
import { segmentWord } from './words.ts';

const percent = (share: number): string => `${(share * 100).toFixed(2)} %`;

/** From where every segment's mass comes, as a column that closes to the body's mass. */
export function massesTold(body: Body): TemplateResult {
  const { spec, weighed, extras } = body;
  const { source, remarks } = tableInfo(spec.table, spec.age);
  const told = [...new Set([...body.remarks, ...remarks])];
  const closing = weighed.pelvis.closing;
  return html`<details class="remark" data-masses>
    <summary>Where each mass comes from</summary>
    <table>
      <thead><tr><th scope="col">part</th><th scope="col">kg</th><th scope="col">from</th></tr></thead>
      <tbody>
        ${SEGMENTS.filter((name) => weighed[name].published > 0).map((name) => {
          const { mass, published, factor } = weighed[name];
          return html`<tr data-mass=${name}><th scope="row">${segmentWord(name)}</th><td>${mass.toFixed(2)}</td>
            <td>${percent(published)}${factor === 1 ? '' : ` × ${factor.toFixed(2)}`}</td></tr>`;
        })}
        ${extras.map(
          ({
            id,
            kind,
            mass,
          }) => html`<tr data-mass=${id}><th scope="row">${EXTRA_WORDS[kind]}</th><td>${mass.toFixed(2)}</td>
            <td>set: ${percent(mass / spec.mass)}</td></tr>`,
        )}
      </tbody>
      <tfoot><tr><th scope="row">body</th><td>${spec.mass.toFixed(2)}</td>
        <td>${Math.abs(closing - 1) < 5e-5 ? 'closes as printed' : `closed by × ${closing.toFixed(4)}`}</td></tr></tfoot>
    </table>
    <p>${source}.</p>
    ${told.map((remark) => html`<p>${remark}</p>`)}
  </details>`;
}
