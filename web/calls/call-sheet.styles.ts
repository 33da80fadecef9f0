import { css } from 'lit';

export const callSheetStyles = css`
  :host {
    display: block;
    position: relative;
    overflow: hidden;
    pointer-events: none;
    z-index: 1;
  }
  svg.lines {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
  }
  .mine {
    stroke: var(--ink);
    stroke-width: 2;
    stroke-dasharray: 7 4;
  }
  .cross {
    position: absolute;
    width: 32px;
    height: 32px;
    min-width: 0;
    min-height: 0;
    margin: -16px 0 0 -16px;
    padding: 2px;
    border: 0;
    cursor: grab;
    pointer-events: auto;
    touch-action: none;
  }
  .cross:active {
    cursor: grabbing;
  }
  .cross:hover:not(:disabled) {
    box-shadow: none;
  }
  .cross svg {
    display: block;
    width: 28px;
    height: 28px;
    fill: color-mix(in srgb, var(--sheet) 60%, transparent);
    stroke: var(--ink);
    stroke-width: 2;
    overflow: visible;
  }
  .cross span {
    position: absolute;
    left: 30px;
    top: 2px;
    padding: 0 0.4rem;
    white-space: nowrap;
    background: var(--ink);
    color: var(--paper);
    font-size: 0.875rem;
    line-height: 1.5rem;
  }
  .given path {
    stroke-width: 2.5;
    fill: none;
  }
  .given.marked path {
    stroke-width: 4;
  }
  .given text {
    fill: var(--ink);
    stroke: var(--sheet);
    stroke-width: 4px;
    paint-order: stroke;
    font-weight: 600;
    font-size: 0.9375rem;
  }
  @media (pointer: coarse) {
    .cross {
      width: 44px;
      height: 44px;
      margin: -22px 0 0 -22px;
      padding: 8px;
    }
  }
`;
