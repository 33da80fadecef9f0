import { css } from 'lit';

/**
 * Rules that every element with a shadow root takes in: text, links, controls, focus. Controls are
 * words on a ruled line, not filled boxes; a pressed one is inked.
 */
export const shared = css`
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  :host {
    font-variant-numeric: tabular-nums;
  }
  :host([hidden]),
  [hidden] {
    display: none !important;
  }
  h1,
  h2,
  h3,
  p,
  ul,
  ol,
  dl,
  dd,
  figure {
    margin: 0;
    padding: 0;
  }
  ul,
  ol {
    list-style: none;
  }
  h1,
  h2,
  h3 {
    font-weight: 600;
    line-height: 1.2;
    text-wrap: balance;
  }
  a {
    color: inherit;
    text-decoration-thickness: 1px;
    text-underline-offset: 0.2em;
  }
  a:hover {
    text-decoration-thickness: 2px;
  }
  button,
  input,
  select,
  textarea {
    font: inherit;
    color: inherit;
    font-variant-numeric: tabular-nums;
  }
  button {
    background: none;
    border: 0;
    border-bottom: 1px solid var(--edge);
    border-radius: 0;
    padding: 0.2rem 0.15rem;
    min-height: 1.75rem;
    min-width: 1.75rem;
    cursor: pointer;
    text-align: start;
    transition: background var(--turn);
  }
  /* A file's name may be long; the field is no wider than what it stands in. */
  input[type='file'] {
    inline-size: 100%;
    min-inline-size: 0;
  }
  ::file-selector-button {
    font: inherit;
    color: inherit;
    background: none;
    border: 0;
    border-bottom: 1px solid var(--edge);
    padding: 0.2rem 0.15rem;
    margin-inline-end: 0.75rem;
    min-height: 1.75rem;
    cursor: pointer;
  }
  button:hover:not(:disabled) {
    border-bottom-color: var(--ink);
    box-shadow: inset 0 -1px 0 var(--ink);
  }
  button:disabled {
    color: var(--pencil);
    border-bottom-style: dotted;
    cursor: default;
  }
  button.main {
    background: var(--ink);
    color: var(--paper);
    border-bottom: 0;
    padding: 0.3rem 0.8rem;
  }
  button.main:disabled {
    background: var(--wash);
    color: var(--pencil);
  }
  button[aria-pressed='true'] {
    background: var(--ink);
    color: var(--paper);
    padding-inline: 0.4rem;
  }
  input:not([type='checkbox'], [type='radio'], [type='range']),
  select,
  textarea {
    background: var(--sheet);
    border: 1px solid var(--edge);
    border-radius: 0;
    padding: 0.3rem 0.45rem;
    min-height: 2rem;
    max-width: 100%;
  }
  textarea {
    width: 100%;
    resize: vertical;
  }
  ::placeholder {
    color: var(--pencil);
    opacity: 1;
  }
  input[type='checkbox'],
  input[type='radio'],
  input[type='range'] {
    accent-color: var(--ink);
  }
  :focus-visible {
    outline: 3px solid var(--ink);
    outline-offset: 2px;
  }
  .pencil {
    color: var(--pencil);
  }
  .small {
    font-size: 0.875rem;
  }
  .hidden-text {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
  @media (pointer: coarse) {
    button,
    select,
    input:not([type='checkbox'], [type='radio'], [type='range']) {
      min-height: 2.75rem;
    }
  }
`;
