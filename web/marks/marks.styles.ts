import { css } from 'lit';

export const marksLayerStyles = css`
  :host {
    position: absolute;
    inset: 0;
    pointer-events: none;
    z-index: 5;
  }
  svg {
    display: block;
    pointer-events: none;
  }
  .takes {
    pointer-events: auto;
    touch-action: none;
    cursor: crosshair;
  }
  .rubs {
    cursor: cell;
  }
  .straight {
    fill: none;
    stroke-width: 2.25;
    stroke-linecap: round;
    stroke-linejoin: round;
  }
  text {
    font-weight: 600;
    font-size: 0.9375rem;
    text-anchor: middle;
    dominant-baseline: middle;
    paint-order: stroke;
    stroke: var(--paper);
    stroke-width: 4px;
    stroke-linejoin: round;
  }
`;

export const markToolsStyles = css`
  :host {
    display: block;
    flex-basis: 100%;
    border-top: 1px solid var(--rule);
    padding: 0.2rem 0 0.3rem;
  }
  .row,
  form,
  ul {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 0.8rem;
    align-items: baseline;
  }
  details[open] {
    flex-basis: 100%;
  }
  summary {
    cursor: pointer;
    color: var(--pencil);
    padding-block: 0.15rem;
  }
  select {
    max-width: 13rem;
  }
  input[type='number'] {
    width: 4.5rem;
  }
  fieldset {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem;
    align-items: baseline;
    border: 0;
    padding: 0;
    margin: 0;
  }
`;
