import { html, type TemplateResult } from 'lit';
import { copyField } from '../parts/copy-field.ts';

/** A secret that is shown once: a field to copy from. */
export const onceTold = (secret: string, label: string): TemplateResult =>
  html`<label class="secret">
    <span>Copy it now; it is not shown again.</span>
    ${copyField(secret, label)}
  </label>`;
