import { css } from 'lit';

/** Two inks, told apart by hue and, where lines lie alone, by dashes. */
const inks = css`
  .first {
    --own: var(--person-0);
  }
  .second {
    --own: var(--person-1);
  }
`;

export const layOverStyles = css`
  ${inks}
  :host {
    display: flex;
    flex-direction: column;
    height: 100%;
    min-height: 30rem;
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 1.5rem;
    align-items: center;
    padding: 0.3rem 0.75rem;
  }
  .tools > span {
    display: flex;
    gap: 0.7rem;
  }
  .blend {
    display: flex;
    flex: 1 1 16rem;
    gap: 0.6rem;
    align-items: center;
    max-width: 34rem;
  }
  .blend input {
    flex: 1;
    min-width: 6rem;
  }
  .body {
    flex: 1;
    display: grid;
    grid-template-columns: minmax(0, 1fr) 19rem;
    min-height: 0;
  }
  .sheets {
    min-height: 0;
    overflow: hidden;
  }
  .sheet {
    position: relative;
    border-top: 1px solid var(--rule);
  }
  .layer,
  .arrows {
    position: absolute;
    inset: 0;
  }
  .layer {
    --ink: var(--own);
    --pencil: var(--own);
    --figure: transparent;
    --figure-far: transparent;
    --load: transparent;
    --sheet: transparent;
    --holds: var(--own);
    --teeters: var(--own);
    --falls: var(--own);
    --airborne: var(--own);
    --carried: var(--own);
    transition: opacity var(--turn);
  }
  .layer svg {
    display: block;
  }
  /* Numbers of two drafts would stand on each other; the facts beside name them. */
  .layer text {
    display: none;
  }
  .layer.second svg path {
    stroke-dasharray: 5 2.5;
  }
  .arrows line,
  .arrows path {
    stroke: var(--ink);
    stroke-width: 2.5;
    fill: none;
  }
  .margin {
    max-width: 100%;
    stroke-width: 2;
    fill: none;
  }
  .margin text {
    fill: var(--pencil);
    font-size: 13px;
  }
  .margin .rule {
    stroke: var(--edge);
  }
  .margin .edge {
    stroke: var(--ink);
    stroke-dasharray: 3 3;
  }
  .margin circle {
    stroke: var(--own);
    fill: var(--paper);
  }
  .margin circle.second {
    fill: var(--own);
  }
  .margin .flight {
    stroke: var(--ink);
  }
  aside {
    border-left: 1px solid var(--rule);
    padding: 0.6rem 1rem 1.5rem;
    overflow-y: auto;
    display: grid;
    gap: 0.5rem;
    align-content: start;
  }
  .key {
    display: flex;
    gap: 1.5rem;
    font-weight: 600;
  }
  .key span {
    border-bottom: 3px solid var(--own);
  }
  .key .second {
    border-bottom-style: dashed;
  }
  table {
    border-collapse: collapse;
    width: 100%;
  }
  th {
    text-align: left;
    font-weight: 400;
  }
  thead th {
    color: var(--pencil);
    border-bottom: 1px solid var(--ink);
  }
  td,
  th:not(:first-child) {
    text-align: right;
    white-space: nowrap;
    padding-left: 0.6rem;
  }
  tbody tr {
    border-bottom: 1px solid var(--rule);
  }
  @media (max-width: 64rem) {
    .body {
      display: block;
    }
    .sheets {
      height: 75dvh;
    }
    aside {
      border-left: 0;
      border-top: 1px solid var(--rule);
    }
  }
`;
