import { html, type TemplateResult } from 'lit';

/** A secret that is shown once: a field to copy from. */
export const onceTold = (secret: string, label: string): TemplateResult =>
  html`<label class="secret">
    <span>Copy it now; it is not shown again.</span>
    <input
      readonly
      .value=${secret}
      aria-label=${label}
      @focus=${(event: Event) => (event.currentTarget as HTMLInputElement).select()}
    />
  </label>`;
