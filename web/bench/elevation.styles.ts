import { css } from 'lit';

export const elevationStyles = css`
  :host {
    display: block;
    position: relative;
    overflow: hidden;
    min-height: 0;
  }
  .sheet {
    position: absolute;
    inset: 0;
    touch-action: pan-y;
    user-select: none;
    -webkit-user-select: none;
    cursor: grab;
  }
  .sheet:active {
    cursor: grabbing;
  }
  .sheet:focus-visible {
    outline-offset: -3px;
  }
  canvas,
  svg.ground,
  svg.lines,
  .drawing {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    pointer-events: none;
  }
  ::slotted(.picture) {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    pointer-events: none;
  }
  .hatch {
    stroke: var(--pencil);
    stroke-width: 1;
  }
  .floor {
    stroke: var(--ink);
    stroke-width: 1.5;
  }
  .dark {
    stop-color: var(--ink);
    stop-opacity: 0.42;
  }
  .clear {
    stop-color: var(--ink);
    stop-opacity: 0;
  }
  .ghost {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1.2;
    stroke-dasharray: 4 3;
    opacity: 0.75;
  }
  .plumb {
    stroke-width: 2;
  }
  .plumb.minor {
    stroke-width: 1.5;
    stroke-dasharray: 6 4;
  }
  .foot {
    stroke-width: 2;
    fill: none;
  }
  .support {
    fill: none;
    stroke-width: 3.5;
    stroke-linejoin: round;
  }
  .functional {
    fill: none;
    stroke-width: 1.5;
    stroke-dasharray: 1 4;
    stroke-linecap: round;
  }
  .contact {
    fill: var(--tint);
    fill-opacity: 0.28;
    stroke: var(--tint);
    stroke-width: 1;
  }
  .centre circle {
    fill: var(--sheet);
    stroke: var(--ink);
    stroke-width: 1.5;
  }
  .centre path {
    fill: var(--ink);
  }
  .forces polyline {
    fill: none;
    stroke: var(--ink);
    stroke-width: 3;
  }
  .forces .under {
    stroke: var(--paper);
    stroke-width: 6;
  }
  .force-weight polyline:not(.under) {
    stroke-dasharray: 7 3;
  }
  .forces polygon {
    fill: var(--ink);
    stroke: var(--paper);
    stroke-width: 1;
  }
  .forces text {
    font-size: 0.9375rem;
    font-weight: 600;
    dominant-baseline: central;
    fill: var(--ink);
    paint-order: stroke;
    stroke: var(--paper);
    stroke-width: 5px;
    stroke-linejoin: round;
  }
  .grip {
    stroke: var(--ink);
    stroke-width: 3;
    fill: var(--sheet);
  }
  .grip.open {
    stroke: var(--pencil);
    stroke-width: 1.5;
    stroke-dasharray: 3 4;
  }
  .line {
    position: absolute;
    left: 0.75rem;
    top: 0;
    right: 0.75rem;
    pointer-events: none;
  }
  .line p {
    display: inline-block;
    background: var(--paper);
    padding: 0 0.35rem;
    font-size: 0.875rem;
    line-height: 1.3rem;
  }
`;
