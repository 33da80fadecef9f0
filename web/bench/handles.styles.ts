import { css } from 'lit';

/** Handles, the ring and what may be gripped, on the elevation. */
export const handleStyles = css`
  .ring {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1.5;
    pointer-events: none;
  }
  .ring.abduction {
    stroke-dasharray: 7 3;
  }
  .ring.rotation {
    stroke-dasharray: 2 3;
  }
  .offer circle {
    fill: none;
    stroke: var(--ink);
    stroke-width: 3;
  }
  .offer circle + circle {
    fill: var(--ink);
  }
  .handles button.side::before {
    border-radius: 0;
    inset: 7px;
  }
  .ring-word {
    fill: var(--ink);
    stroke: var(--sheet);
    stroke-width: 4;
    paint-order: stroke;
    font-size: 0.8125rem;
    text-anchor: middle;
    opacity: 0;
    pointer-events: none;
  }
  .one-ring:hover .ring-word,
  .turning .ring-word {
    opacity: 1;
  }
  .ring-hold {
    fill: none;
    stroke: transparent;
    stroke-width: 14;
    pointer-events: stroke;
    cursor: grab;
    touch-action: none;
  }
  .one-ring:hover .ring,
  .turning .ring {
    stroke-width: 3;
  }
  .handles button {
    position: absolute;
    width: 24px;
    height: 24px;
    min-width: 0;
    min-height: 0;
    margin: -12px 0 0 -12px;
    padding: 0;
    border: 0;
    background: none;
    opacity: 0;
    cursor: grab;
    touch-action: none;
    transition: opacity var(--turn, 140ms);
  }
  .handles button::before {
    content: '';
    position: absolute;
    inset: 5px;
    border-radius: 50%;
    border: 2px solid var(--ink);
    background: color-mix(in srgb, var(--sheet) 72%, transparent);
  }
  .handles button.solid::before {
    border-radius: 0;
    transform: rotate(45deg);
    inset: 6px;
  }
  .handles button.small::before {
    inset: 7px;
    border-width: 1.5px;
  }
  .handles button.centre-hold::before {
    background: none;
    border-style: dashed;
    border-width: 1.5px;
    inset: 0;
  }
  .handles button:hover {
    box-shadow: none;
  }
  .handles button:hover::before,
  .handles button:focus-visible::before,
  .handles button.held::before,
  .handles button[aria-pressed='true']::before {
    background: var(--ink);
    inset: 4px;
  }
  .handles button[aria-pressed='true'] {
    background: none;
    padding: 0;
  }
  .handles button span {
    position: absolute;
    left: 50%;
    bottom: calc(100% + 1px);
    transform: translateX(-50%);
    background: var(--ink);
    color: var(--paper);
    padding: 0 0.4rem;
    white-space: nowrap;
    font-size: 0.875rem;
    line-height: 1.4rem;
    visibility: hidden;
    pointer-events: none;
    z-index: 3;
  }
  .handles button:hover span,
  .handles button:focus-visible span {
    visibility: visible;
  }
  /* A centre lies on the body: a part beneath it must stay within reach. */
  .handles button.centre-hold {
    z-index: -1;
  }
  .handles button.centre-hold:is(:hover, :focus-visible, .held)::before {
    background: none;
    border-style: solid;
    inset: 0;
  }
  :host(:hover) .handles button,
  .handles:focus-within button,
  .handles button.held,
  .handles button[aria-pressed='true'] {
    opacity: 1;
  }
  .busy .handles button:not(.held) {
    opacity: 0;
  }
  .busy .handles button span {
    visibility: hidden;
  }
  @media (hover: none) {
    .handles button {
      opacity: 0.85;
    }
  }
  @media (pointer: coarse) {
    .handles button {
      width: 44px;
      height: 44px;
      margin: -22px 0 0 -22px;
      opacity: 1;
    }
    .handles button::before,
    .handles button.solid::before {
      inset: 14px;
    }
    .ring-hold {
      stroke-width: 24;
    }
  }
`;
