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
  .deeds {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.9rem;
    font-size: 0.9375rem;
  }
`;

export const notesPanelStyles = css`
  :host {
    display: block;
  }
  section {
    display: grid;
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
  form {
    display: grid;
    gap: 0.45rem;
  }
  form p {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.9rem;
    align-items: baseline;
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
  summary {
    cursor: pointer;
    padding-block: 0.4rem;
    color: var(--pencil);
  }
`;
