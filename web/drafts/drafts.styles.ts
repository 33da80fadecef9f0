import { css } from 'lit';

export const draftsLeafStyles = css`
  :host {
    display: block;
  }
  li {
    position: relative;
    padding-left: calc(var(--lanes) * 14px + 0.5rem);
  }
  .lines {
    position: absolute;
    left: 0;
    top: 0;
    height: 100%;
    stroke: var(--ink);
    stroke-width: 1.5;
    fill: var(--paper);
  }
  .shown .lines circle {
    fill: var(--ink);
  }
  .row {
    display: grid;
    grid-template-columns: minmax(0, 1fr);
    gap: 0.25rem;
    padding: 0.25rem 0 0.6rem;
  }
  .head {
    display: flex;
    flex-wrap: wrap;
    justify-content: space-between;
    gap: 0.1rem 0.75rem;
    align-items: baseline;
  }
  .head button {
    overflow-wrap: anywhere;
  }
  .shown .head button {
    font-weight: 600;
  }
  .holds {
    color: var(--holds);
  }
  .teeters {
    color: var(--teeters);
  }
  .falls {
    color: var(--falls);
  }
  .airborne {
    color: var(--airborne);
  }
  .carried,
  .held {
    color: var(--carried);
  }
  .words {
    white-space: pre-line;
    overflow-wrap: anywhere;
  }
  .deeds {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.9rem;
    align-items: baseline;
    font-size: 0.9375rem;
  }
  form {
    display: grid;
    gap: 0.4rem;
  }
  label {
    overflow-wrap: anywhere;
  }
  form label {
    display: grid;
    gap: 0.15rem;
  }
  form p {
    display: flex;
    gap: 0.9rem;
  }
`;
