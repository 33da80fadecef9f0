import { css } from 'lit';

export const callsPanelStyles = css`
  :host {
    display: grid;
    gap: 0.9rem;
  }
  form,
  section {
    display: grid;
    gap: 0.6rem;
    justify-items: start;
  }
  fieldset {
    border: 0;
    padding: 0;
    margin: 0;
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 1rem;
  }
  legend {
    padding: 0;
  }
  .place {
    display: grid;
    gap: 0.25rem;
    width: 100%;
    max-width: 16rem;
  }
  .place cl-number {
    display: block;
  }
  .way {
    display: grid;
    gap: 0.2rem;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.4rem 1rem;
    align-items: baseline;
  }
  .lead {
    border-top: 1px solid var(--rule);
    padding-top: 0.6rem;
    width: 100%;
  }
  .shown,
  .progress {
    border-top: 1px solid var(--ink);
    padding-top: 0.6rem;
  }
  h3 {
    font-size: 1rem;
  }
  table {
    border-collapse: collapse;
    width: 100%;
    font-size: 0.9375rem;
  }
  th,
  td {
    text-align: right;
    padding: 0.15rem 0.3rem;
    border-bottom: 1px solid var(--rule);
    vertical-align: baseline;
    font-weight: 400;
  }
  th:first-child {
    text-align: left;
  }
  /* A long name wraps beside its mark, not below it. */
  .who {
    display: flex;
    gap: 0.3rem;
    align-items: baseline;
  }
  .who button {
    min-inline-size: 0;
    text-align: start;
  }
  .said {
    display: block;
    font-weight: 400;
  }
  thead th {
    color: var(--pencil);
    font-size: 0.875rem;
  }
  .me th,
  .me td {
    font-weight: 600;
  }
  .chart {
    width: 100%;
    max-width: 22rem;
  }
  .chart polyline {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1.5;
  }
  .chart .base {
    stroke: var(--rule);
  }
  .chart circle {
    fill: var(--sheet);
    stroke: var(--ink);
    stroke-width: 2;
  }
  .chart circle.right {
    fill: var(--ink);
  }
`;
