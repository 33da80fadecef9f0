import { css } from 'lit';

export const readingStyles = css`
  :host {
    display: grid;
    gap: 0.8rem;
  }
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(8.5rem, 1fr));
    gap: 0.6rem 1rem;
    align-items: end;
  }
  .wide {
    grid-column: 1 / -1;
  }
  label {
    display: grid;
    gap: 0.15rem;
    align-content: start;
    min-width: 0;
  }
  input:not([type='checkbox']),
  select {
    width: 100%;
    min-width: 0;
  }
  fieldset {
    border: 0;
    border-top: 1px solid var(--rule);
    padding: 0.5rem 0 0;
    margin: 0;
    display: grid;
    gap: 0.4rem;
    min-width: 0;
  }
  legend {
    padding: 0 0.5rem 0 0;
    font-weight: 600;
  }
  .checks {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 1rem;
  }
  .checks label {
    display: flex;
    align-items: center;
    gap: 0.35rem;
    min-height: 1.75rem;
  }
  summary {
    cursor: pointer;
    min-height: 1.75rem;
  }
  .joints {
    display: grid;
    grid-template-columns: minmax(6.5rem, auto) minmax(0, 1fr) 5.5rem;
    gap: 0.25rem 0.7rem;
    align-items: center;
    padding-top: 0.4rem;
  }
  .told {
    display: grid;
    gap: 0.25rem;
    padding: 0;
    margin: 0;
    list-style: none;
  }
  .guess {
    border-left: 3px solid var(--teeters);
    padding-left: 0.5rem;
  }
`;
