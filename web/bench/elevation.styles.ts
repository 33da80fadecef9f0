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
  .ring {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1.5;
    stroke-dasharray: 5 3;
    pointer-events: none;
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
  .ring-hand {
    stroke: var(--ink);
    stroke-width: 1.5;
    pointer-events: none;
  }
  .ring-hold {
    fill: none;
    stroke: transparent;
    stroke-width: 26;
    pointer-events: stroke;
    cursor: grab;
    touch-action: none;
  }
  .ring-hold:hover + .ring,
  .turning .ring {
    stroke-dasharray: none;
    stroke-width: 2.5;
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
  @media (hover: none) {
    .handles button {
      opacity: 0.85;
    }
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
  .pins button {
    position: absolute;
    min-width: 24px;
    min-height: 24px;
    margin: -34px 0 0 0;
    padding: 0 0.35rem;
    border: 1.5px solid var(--ink);
    background: var(--sheet);
    font-weight: 600;
    font-size: 0.875rem;
    line-height: 1.3rem;
    text-align: center;
  }
  .pins button::after {
    content: '';
    position: absolute;
    left: -1.5px;
    top: 100%;
    height: 10px;
    border-left: 1.5px solid var(--ink);
  }
  .pins button.settled,
  .pins button.parked,
  .pins button.kept {
    border-color: var(--pencil);
    color: var(--pencil);
    border-style: dashed;
  }
  .pins button.chosen {
    background: var(--ink);
    color: var(--paper);
  }
  .cross {
    position: absolute;
    width: 19px;
    height: 19px;
    margin: -9.5px 0 0 -9.5px;
    pointer-events: none;
    z-index: 3;
    background:
      linear-gradient(var(--ink), var(--ink)) center / 19px 1.5px no-repeat,
      linear-gradient(var(--ink), var(--ink)) center / 1.5px 19px no-repeat;
  }
  .person {
    position: absolute;
    pointer-events: none;
    color: var(--person);
    z-index: 4;
  }
  .person svg {
    display: block;
    width: 16px;
    height: 20px;
    fill: var(--person);
    stroke: var(--sheet);
    stroke-width: 1.5;
  }
  .person span {
    position: absolute;
    left: 12px;
    top: 14px;
    padding: 0 0.35rem;
    background: var(--sheet);
    border: 2px var(--pattern, solid) var(--person);
    white-space: nowrap;
    font-size: 0.875rem;
    line-height: 1.3rem;
  }
  .person.selects span {
    left: 16px;
    top: -14px;
  }
  .person.selects::before {
    content: '';
    position: absolute;
    width: 28px;
    height: 28px;
    margin: -14px;
    border-radius: 50%;
    border: 2px var(--pattern, solid) var(--person);
  }
  .person.pings::before,
  .person.pings::after {
    content: '';
    position: absolute;
    width: 56px;
    height: 56px;
    margin: -28px;
    border-radius: 50%;
    border: 4px solid var(--person);
  }
  .person.pings::after {
    width: 12px;
    height: 12px;
    margin: -6px;
    border-width: 3px;
  }
  .person.pings span {
    left: 26px;
    top: -40px;
    font-weight: 600;
  }
  @media (prefers-reduced-motion: no-preference) {
    .person.pings::before {
      animation: close-in 800ms ease-out 3;
    }
    @keyframes close-in {
      from {
        transform: scale(2.4);
        opacity: 0.2;
      }
    }
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
    .pins button {
      min-height: 24px;
    }
    .pins button::before {
      content: '';
      position: absolute;
      inset: -10px;
    }
    .ring-hold {
      stroke-width: 44;
    }
  }
`;
