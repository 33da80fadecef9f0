import { css } from 'lit';

export const planStyles = css`
  :host {
    display: block;
    position: relative;
    overflow: hidden;
    min-height: 0;
    /* A border would break the plumb line on its way from the elevation. */
    background: linear-gradient(var(--rule), var(--rule)) top / 100% 1px no-repeat;
  }
  svg {
    position: absolute;
    inset: 0;
    touch-action: pan-y;
  }
  .rule {
    stroke: var(--rule);
    stroke-width: 1;
  }
  .surface {
    fill: url(#hatch);
    stroke: var(--pencil);
    stroke-width: 1.25;
  }
  .hatch {
    stroke: var(--rule);
    stroke-width: 1.5;
  }
  .sole {
    fill: var(--sheet);
    fill-opacity: 0.7;
    stroke: var(--pencil);
    stroke-width: 1;
  }
  .sole.up {
    stroke-dasharray: 3 3;
    fill-opacity: 0.25;
  }
  .contact {
    fill: var(--tint);
    fill-opacity: var(--glow, 0.22);
    stroke: var(--tint);
    stroke-width: 1.5;
  }
  .contact.lit {
    stroke: var(--ink);
    stroke-width: 3;
  }
  .edge-hold {
    fill: none;
    stroke: transparent;
    stroke-width: 14;
    pointer-events: stroke;
  }
  .edge-lit {
    fill: none;
    stroke: var(--ink);
    stroke-width: 6;
    stroke-linecap: round;
    stroke-linejoin: round;
    pointer-events: none;
  }
  .share-number {
    font-size: 0.9375rem;
    text-anchor: middle;
    dominant-baseline: central;
    fill: var(--ink);
    paint-order: stroke;
    stroke: var(--paper);
    stroke-width: 4px;
    stroke-linejoin: round;
  }
  .press {
    outline: none;
  }
  .press.may {
    cursor: pointer;
  }
  .press .target {
    fill: transparent;
  }
  .press.may:hover .outline,
  .press:focus-visible .outline {
    stroke: var(--ink);
    stroke-width: 2.5;
  }
  .press:focus-visible .target {
    stroke: var(--ink);
    stroke-width: 3;
  }
  .mark {
    font-size: 0.875rem;
    fill: var(--ink);
    text-anchor: middle;
    paint-order: stroke;
    stroke: var(--paper);
    stroke-width: 4px;
    stroke-linejoin: round;
  }
  .support {
    fill: none;
    stroke-width: 2.5;
    stroke-linejoin: round;
  }
  .functional {
    fill: none;
    stroke-width: 1.75;
    stroke-dasharray: 1 4;
    stroke-linecap: round;
  }
  .plumb {
    stroke-width: 2;
  }
  .point {
    fill: var(--paper);
    stroke-width: 2.5;
  }
  .dot {
    stroke: none;
  }
  .dimension {
    stroke: var(--ink);
    stroke-width: 1.25;
    fill: none;
  }
  .fall {
    stroke-width: 2.5;
    fill: none;
  }
  .figure-number {
    font-size: 1rem;
    font-weight: 600;
    paint-order: stroke;
    stroke: var(--paper);
    stroke-width: 5px;
    stroke-linejoin: round;
    fill: var(--ink);
    dominant-baseline: central;
  }
  .caption {
    position: absolute;
    left: 0.75rem;
    bottom: 0.35rem;
    max-width: calc(100% - 1.5rem);
    pointer-events: none;
  }
  /* On a phone the plan is too low for a second line over it. */
  @media (max-width: 48rem) {
    .turned {
      display: none;
    }
  }
  .caption p {
    background: var(--paper);
    padding: 0 0.35rem;
    display: inline-block;
  }
  .ping {
    fill: none;
    stroke-width: 4;
  }
  .person {
    fill: none;
    stroke-width: 2;
  }
  .centre-hold {
    fill: transparent;
    stroke: transparent;
    stroke-width: 1.5;
    stroke-dasharray: 3 3;
    cursor: grab;
    touch-action: none;
  }
  .centre-hold:hover,
  .centre-hold:focus-visible {
    stroke: var(--ink);
    outline: none;
  }
  .centre-hold:focus-visible {
    stroke-dasharray: none;
    stroke-width: 2.5;
  }
  .sides button {
    position: absolute;
    width: 24px;
    height: 24px;
    min-width: 0;
    min-height: 0;
    margin: -12px 0 0 -12px;
    padding: 0;
    border: 0;
    cursor: grab;
    touch-action: none;
  }
  .sides button::before {
    content: '';
    position: absolute;
    inset: 6px;
    border: 2px solid var(--ink);
    background: var(--sheet);
  }
  .sides button:hover::before,
  .sides button:focus-visible::before {
    background: var(--ink);
  }
`;
