import { html, type TemplateResult } from 'lit';

/** A text to be copied from a field that selects all of it at once. */
export const copyField = (text: string, label: string): TemplateResult =>
  html`<input
    readonly
    .value=${text}
    aria-label=${label}
    @focus=${(event: Event) => (event.currentTarget as HTMLInputElement).select()}
  />`;
