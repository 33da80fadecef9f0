import { css } from 'lit';

export const boardPageStyles = css`
  :host {
    display: block;
  }
  .board {
    padding: 1.4rem 1.25rem 4rem;
    display: grid;
    gap: 2.2rem;
    min-height: 70vh;
    align-content: start;
  }
  .board.over {
    outline: 2px dashed var(--ink);
    outline-offset: -0.5rem;
  }
  .head {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 0.5rem 1.5rem;
  }
  h1 {
    font-size: 1.75rem;
    overflow-wrap: anywhere;
  }
  .deeds {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 1rem;
  }
  .renaming {
    display: flex;
    flex-wrap: wrap;
    gap: 0.5rem;
    align-items: end;
  }
  .glance {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 1.1rem;
    flex: 1 1 60%;
  }
  .glance button {
    border-bottom-color: transparent;
  }
  cl-narrow-bar {
    flex-basis: 100%;
  }
  .ways {
    display: flex;
    gap: 0.9rem;
    margin-inline-start: auto;
  }
  section h2 {
    font-size: 1.25rem;
    border-bottom: 1px solid var(--ink);
    padding-bottom: 0.25rem;
    margin-bottom: 0.9rem;
  }
  h2 .count {
    font-weight: 400;
    font-size: 1rem;
  }
  .count {
    color: var(--pencil);
  }
  button[aria-pressed='true'] .count {
    color: inherit;
  }
  .empty {
    max-width: 46rem;
    font-size: 1.125rem;
    border-top: 1px solid var(--ink);
    padding-top: 0.8rem;
  }
  @media (max-width: 48rem) {
    .board {
      padding-inline: 0.9rem;
    }
  }
`;
