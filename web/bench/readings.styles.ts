import { css } from 'lit';

export const readingsStyles = css`
  :host {
    display: block;
  }
  section {
    margin-top: 1.3rem;
  }
  h2 {
    font-size: 1rem;
    border-bottom: 1px solid var(--rule);
    padding-bottom: 0.15rem;
    margin-bottom: 0.25rem;
    display: flex;
    justify-content: space-between;
    gap: 0.5rem;
  }
  h2 .small,
  h3 {
    font-weight: 400;
    color: var(--pencil);
  }
  h3 {
    font-size: 0.875rem;
    margin-top: 0.5rem;
  }
  .group + .group {
    border-top: 3px double var(--ink);
    margin-top: 1.4rem;
  }
  .who {
    font-size: 1rem;
    margin-top: 1.2rem;
    border: 0;
  }
  .row {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto;
    gap: 0 0.75rem;
    align-items: baseline;
    padding: 0.15rem 0;
  }
  .row > :last-child:not(:first-child) {
    text-align: right;
  }
  .row > .under:last-child {
    grid-column: 1 / -1;
    text-align: left;
    color: var(--pencil);
    font-size: 0.875rem;
    line-height: 1.35;
  }
  .share .small {
    font-weight: 400;
    color: var(--pencil);
  }
  .share {
    font-size: 1.35rem;
    font-weight: 600;
    line-height: 1.2;
  }
  .shares .row {
    padding: 0.3rem 0;
  }
  .shares .row + .row,
  .lines .row + .row {
    border-top: 1px solid var(--rule);
  }
  .shares button,
  .edges button {
    border-bottom-color: transparent;
    padding: 0;
    min-height: 1.5rem;
    overflow-wrap: anywhere;
  }
  .edges .row {
    grid-template-columns: 5.5rem minmax(0, 1fr);
    padding: 0.2rem 0;
  }
  .edges .row + .row {
    border-top: 1px solid var(--rule);
  }
  .edges .row > :last-child {
    text-align: left;
  }
  .row.lit {
    box-shadow: -0.4rem 0 0 var(--paper), -0.55rem 0 0 var(--ink);
  }
  .scale {
    grid-column: 1 / -1;
    display: block;
    width: 100%;
    height: 10px;
    overflow: visible;
  }
  .scale .whole {
    stroke: var(--rule);
    stroke-width: 2;
  }
  .scale .range {
    stroke: var(--edge);
    stroke-width: 4;
  }
  .scale .is {
    stroke: var(--ink);
    stroke-width: 4;
  }
  .scale .likely {
    stroke: var(--ink);
    stroke-width: 2;
  }
  .remark {
    color: var(--pencil);
    font-size: 0.875rem;
    line-height: 1.35;
    margin-top: 0.25rem;
  }
  .folds {
    margin-top: 0.9rem;
    border-bottom: 1px solid var(--rule);
  }
  details {
    border-top: 1px solid var(--rule);
  }
  summary {
    cursor: pointer;
    display: grid;
    grid-template-columns: auto minmax(0, 1fr);
    gap: 0.75rem;
    align-items: baseline;
    padding: 0.25rem 0;
    min-height: 1.75rem;
  }
  summary::-webkit-details-marker {
    display: none;
  }
  summary > :first-child::before {
    content: '+ ' / '';
    color: var(--pencil);
  }
  details[open] > summary > :first-child::before {
    content: '\\2212\\a0' / '';
  }
  summary > :last-child:not(:first-child) {
    text-align: right;
  }
  .inside {
    padding: 0 0 0.6rem 1.1rem;
  }
  table {
    width: 100%;
    border-collapse: collapse;
  }
  th,
  td {
    padding: 0.1rem 0 0.1rem 0.4rem;
    text-align: right;
    font-weight: 400;
    vertical-align: baseline;
  }
  th:first-child {
    text-align: left;
    padding-left: 0;
  }
  thead th {
    color: var(--pencil);
    font-size: 0.875rem;
    border-bottom: 1px solid var(--rule);
  }
  .said li {
    padding: 0.2rem 0;
    line-height: 1.4;
  }
  .said h3 {
    margin-top: 0.4rem;
  }
  [aria-busy='true'] .share,
  [aria-busy='true'] td,
  [aria-busy='true'] .lines .row > :nth-child(2) {
    color: var(--pencil);
  }
  @media (pointer: coarse) {
    summary,
    .shares button,
    .edges button {
      min-height: 2.75rem;
    }
  }
`;
