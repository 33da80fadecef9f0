import { css } from 'lit';

/** Flags of notes, people, pings and the cross of a chosen point, on the elevation. */
export const markStyles = css`
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
  @media (pointer: coarse) {
    .pins button {
      min-height: 24px;
    }
    .pins button::before {
      content: '';
      position: absolute;
      inset: -10px;
    }
  }
`;
