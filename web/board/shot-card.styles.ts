import { css } from 'lit';

export const shotCardStyles = css`
  :host {
    display: block;
    min-width: 0;
    content-visibility: auto;
    contain-intrinsic-size: auto 17rem auto 21rem;
  }
  article {
    display: grid;
    gap: 0.55rem;
  }
  .drawing {
    display: block;
    background: var(--sheet);
    border-top: 2px solid var(--ink);
    aspect-ratio: 6 / 5;
    overflow: hidden;
    transition: transform var(--turn);
  }
  .drawing:focus-visible {
    outline-offset: -3px;
  }
  .drawing > [aria-hidden] {
    display: block;
    height: 100%;
  }
  .drawing svg {
    display: block;
    width: 100%;
    height: 100%;
  }
  :host([lifted]) .drawing {
    transform: translateY(-3px);
    box-shadow: 0 4px 8px color-mix(in srgb, var(--ink) 25%, transparent);
  }
  .caption {
    display: grid;
    gap: 0.2rem;
    justify-items: start;
  }
  h3 {
    font-size: 1rem;
    overflow-wrap: anywhere;
  }
  h3 .title {
    font-weight: 400;
  }
  .facts {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.9rem;
    color: var(--pencil);
  }
  .state.retake {
    color: var(--falls);
  }
  .state.for-review {
    color: var(--ink);
    font-weight: 600;
  }
  .state.signed-off {
    color: var(--holds);
  }
  .late {
    color: var(--falls);
    font-weight: 600;
  }
  .name {
    display: flex;
    gap: 0.5rem;
    align-items: baseline;
    width: 100%;
  }
  .name h3 {
    flex: 1;
  }
  .name input {
    flex: none;
    width: 1.1rem;
    height: 1.1rem;
    margin: 0;
    align-self: center;
  }
  :host([picked]) .drawing {
    border-top-width: 6px;
    outline: 2px solid var(--ink);
    outline-offset: -2px;
  }
  .weighed {
    display: flex;
    flex-wrap: wrap;
    justify-content: space-between;
    align-items: center;
    gap: 0.2rem 0.75rem;
    width: 100%;
    min-height: 1.7rem;
  }
  .margin-line {
    margin-inline-start: auto;
  }
  .people {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.8rem;
    font-size: 0.875rem;
  }
  .change {
    display: grid;
    gap: 0.5rem;
    padding-top: 0.4rem;
    width: 100%;
  }
  .change form {
    display: grid;
    gap: 0.4rem;
    justify-items: start;
  }
  .change label {
    display: grid;
    gap: 0.1rem;
    width: 100%;
  }
  .change input,
  .change select {
    width: 100%;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.8rem;
  }
`;
