import { html, nothing, type TemplateResult } from 'lit';
import type { MotionWeighing } from './weighing.ts';

/** How far the weighing of a clip is, to be given up and taken up again. */
export function progressLine(weighing: MotionWeighing): TemplateResult | typeof nothing {
  const { progress } = weighing;
  switch (progress.kind) {
    case 'idle':
      return nothing;
    case 'working':
      return html`<span class="group small" data-progress>
        <span class="bar" aria-hidden="true"><span style="width:${(progress.share * 100).toFixed(0)}%"></span></span>
        <span>${progress.words}, ${Math.floor(progress.share * 100)} %</span>
        <button type="button" @click=${() => weighing.stop()}>Give up</button>
      </span>`;
    case 'stopped':
      return html`<span class="group small">
        <span>Given up.</span>
        <button type="button" @click=${() => weighing.resume()}>Weigh on</button>
      </span>`;
    case 'failed':
      return html`<span class="small" role="alert">${progress.message}</span>`;
  }
}
