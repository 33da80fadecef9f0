import { css } from 'lit';

/** Rules of the small forms in the ledger's column. */
export const formStyles = css`
  :host {
    display: block;
  }
  .form {
    display: grid;
    gap: 0.4rem;
    padding: 0.4rem 0 0.8rem 0.9rem;
    border-left: 2px solid var(--ink);
    margin-left: 0.2rem;
  }
  .inner {
    display: grid;
    gap: 0.4rem;
  }
  details > .inner {
    padding: 0.2rem 0 0.4rem 0.7rem;
    border-left: 1px solid var(--rule);
  }
  summary {
    cursor: pointer;
    min-height: 1.75rem;
  }
  table {
    border-collapse: collapse;
    width: 100%;
    margin: 0.2rem 0 0.4rem;
  }
  th,
  td {
    font-weight: 400;
    text-align: right;
    padding: 0.05rem 0 0.05rem 0.4rem;
  }
  th:first-child {
    text-align: left;
    padding-left: 0;
  }
  tfoot > tr > * {
    border-top: 1px solid var(--ink);
    color: var(--ink);
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.8rem;
    align-items: center;
  }
  .field {
    display: grid;
    grid-template-columns: 4.6rem minmax(0, 1fr);
    gap: 0.5rem;
    align-items: center;
  }
  .field > input,
  .field > select {
    width: 100%;
    min-height: 1.75rem;
    padding: 0.1rem 0.35rem;
  }
  input[type='range'] {
    width: 100%;
    min-height: 24px;
  }
  @media (pointer: coarse) {
    input[type='range'] {
      min-height: 44px;
    }
    .field > input,
    .field > select {
      min-height: 2.75rem;
    }
  }
  .remark {
    color: var(--pencil);
    font-size: 0.875rem;
  }
`;
