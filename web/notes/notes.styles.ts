import { css } from 'lit';

export const noteItemStyles = css`
  :host {
    display: block;
    padding: 0.7rem 0 0.8rem 0.75rem;
    border-bottom: 1px solid var(--rule);
    border-left: 3px solid transparent;
  }
  :host([chosen]) {
    border-left-color: var(--ink);
  }
  article {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 0.3rem;
  }
  .head {
    display: flex;
    justify-content: space-between;
    gap: 0.75rem;
    align-items: baseline;
  }
  .about {
    font-weight: 600;
    overflow-wrap: anywhere;
  }
  .number {
    font-weight: 400;
    color: var(--pencil);
    padding-inline-end: 0.2rem;
  }
  button[aria-pressed='true'] .number {
    color: inherit;
  }
  .weight {
    color: var(--pencil);
    white-space: nowrap;
  }
  .weight.must {
    color: var(--falls);
    font-weight: 600;
  }
  .text {
    overflow-wrap: anywhere;
    white-space: pre-line;
    max-width: 60ch;
  }
  strong {
    font-weight: 600;
  }
  strong.me {
    border-bottom: 2px solid var(--ink);
  }
  .reading {
    border-left: 1px solid var(--ink);
    padding-left: 0.5rem;
  }
  .reason {
    font-style: italic;
  }
  .by {
    display: inline-flex;
    flex-wrap: wrap;
    gap: 0.4rem;
    align-items: baseline;
    font-size: 0.875rem;
  }
  .person-mark {
    align-self: center;
  }
  .replies {
    display: grid;
    gap: 0.5rem;
    margin: 0.2rem 0 0.2rem 0.9rem;
    padding-left: 0.75rem;
    border-left: 1px solid var(--rule);
  }
  form {
    display: grid;
    gap: 0.4rem;
    justify-items: start;
  }
  form cl-mention-field {
    width: 100%;
  }
  .deeds {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.9rem;
    align-items: baseline;
    font-size: 0.9375rem;
  }
  .deeds select {
    max-width: 11rem;
  }
`;

export const mentionFieldStyles = css`
  :host {
    display: block;
    position: relative;
  }
  [role='listbox'] {
    position: absolute;
    z-index: 5;
    inset-inline: 0;
    background: var(--sheet);
    border: 1px solid var(--ink);
  }
  [role='option'] {
    display: flex;
    gap: 0.5rem;
    align-items: baseline;
    padding: 0.25rem 0.5rem;
    min-height: 2rem;
    cursor: pointer;
  }
  [role='option'] .person-mark {
    align-self: center;
  }
  [role='option'][aria-selected='true'] {
    background: var(--ink);
    color: var(--paper);
  }
  [role='option'][aria-selected='true'] .pencil {
    color: inherit;
  }
`;

export const composerStyles = css`
  :host {
    display: block;
  }
  form {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 0.45rem;
  }
  form p {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.9rem;
    align-items: baseline;
  }
  .about {
    display: flex;
    gap: 0.5rem;
    align-items: baseline;
  }
  .about select {
    flex: 1;
    min-width: 0;
    font-weight: 600;
  }
  .row {
    display: grid;
    grid-template-columns: repeat(2, minmax(0, 1fr));
    gap: 0.3rem 0.9rem;
  }
  .row label {
    display: flex;
    gap: 0.4rem;
    align-items: baseline;
  }
  .row select {
    flex: 1;
    min-width: 0;
  }
  .row p,
  .ways {
    grid-column: 1 / -1;
  }
  input[type='number'] {
    width: 5rem;
  }
  .point label {
    display: grid;
  }
  fieldset {
    border: 0;
    margin: 0;
    padding: 0;
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.9rem;
  }
  fieldset label {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
    min-height: 1.75rem;
  }
`;

export const offersStyles = css`
  :host {
    display: block;
  }
  summary {
    cursor: pointer;
    padding-block: 0.2rem;
    color: var(--pencil);
  }
  ul {
    display: grid;
    gap: 0.3rem;
    padding-block: 0.2rem 0.4rem;
  }
`;

export const finderStyles = css`
  form {
    display: flex;
    flex-wrap: wrap;
    gap: 0.4rem 0.6rem;
    align-items: baseline;
    padding-block: 0.2rem 0.4rem;
  }
  input[type='search'] {
    flex: 1 1 10rem;
    min-width: 0;
  }
  select {
    max-width: 11rem;
  }
  p {
    flex-basis: 100%;
  }
`;

export const notesPanelStyles = css`
  :host {
    display: block;
  }
  section {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 0.75rem;
    align-content: start;
  }
  h2 {
    font-size: 1.125rem;
    border-bottom: 1px solid var(--ink);
    padding-bottom: 0.25rem;
  }
  h2 span {
    font-weight: 400;
  }
  summary {
    cursor: pointer;
    padding-block: 0.4rem;
    color: var(--pencil);
  }
`;

export const notesPageStyles = css`
  .page {
    display: grid;
    gap: 1rem;
    align-content: start;
    max-width: 62rem;
    padding: 1.4rem 1.25rem 4rem;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 1.25rem;
    align-items: baseline;
  }
  h1 {
    font-size: 1.75rem;
  }
  h2 {
    font-size: 1.125rem;
    border-bottom: 1px solid var(--ink);
    padding: 0.6rem 0 0.25rem;
  }
  h2 span {
    font-weight: 400;
  }
  @media (max-width: 48rem) {
    .page {
      padding-inline: 0.9rem;
    }
  }
`;
