import { css } from 'lit';

export const ledgerStyles = css`
  :host {
    display: block;
  }
  table {
    width: 100%;
    border-collapse: collapse;
  }
  th,
  td {
    padding: 0.15rem 0 0.15rem 0.4rem;
    text-align: right;
    font-weight: 400;
    vertical-align: baseline;
    white-space: nowrap;
  }
  th:first-child {
    text-align: left;
    padding-left: 0;
    white-space: normal;
  }
  thead th {
    color: var(--pencil);
    font-size: 0.875rem;
    border-bottom: 1px solid var(--ink);
  }
  tbody tr:not(:first-child) > * {
    border-top: 1px solid var(--rule);
  }
  td.note,
  td.open {
    text-align: left;
    white-space: normal;
    border-top: 0 !important;
  }
  td.note {
    color: var(--pencil);
    font-size: 0.875rem;
    padding-left: 0;
  }
  td.open {
    padding: 0;
  }
  tfoot th,
  tfoot td {
    font-weight: 600;
    border-top: 1px solid var(--ink);
    border-bottom: 3px double var(--ink);
  }
  .name {
    min-height: 1.5rem;
    border-bottom-color: transparent;
    padding: 0;
    overflow-wrap: anywhere;
  }
  .name[aria-expanded]::before {
    content: '+ ' / '';
    color: var(--pencil);
  }
  .name[aria-expanded='true']::before {
    content: '\\2212\\a0' / '';
  }
  .remove {
    padding: 0 0 0.6rem 1.1rem;
  }
  section {
    margin-top: 1.4rem;
  }
  h2 {
    font-size: 1rem;
    border-bottom: 1px solid var(--rule);
    padding-bottom: 0.15rem;
    margin-bottom: 0.4rem;
  }
  h3 {
    font-size: 0.875rem;
    color: var(--pencil);
    margin-top: 0.5rem;
  }
  .list li {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto;
    gap: 0.5rem;
    align-items: baseline;
    padding: 0.1rem 0;
  }
  .list li.open,
  .list li.wide {
    display: block;
  }
  .list select {
    min-height: 1.75rem;
    padding: 0 0.2rem;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.9rem;
  }
  .add .row + .row {
    margin-top: 0.4rem;
    padding-top: 0.4rem;
    border-top: 1px solid var(--rule);
  }
  details {
    margin-top: 0.4rem;
  }
  summary {
    cursor: pointer;
    min-height: 1.75rem;
  }
  form {
    display: grid;
    gap: 0.4rem;
    justify-items: start;
  }
  form select {
    width: 100%;
  }
  @media (pointer: coarse) {
    .name,
    .list select,
    summary {
      min-height: 2.75rem;
    }
  }
`;
