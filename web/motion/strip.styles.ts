import { css } from 'lit';

export const stripStyles = css`
  :host {
    display: block;
    padding: 0.25rem 1.25rem 0.3rem;
    border-top: 1px solid var(--rule);
    background: var(--sheet);
    min-width: 0;
  }
  .head,
  .foot,
  .looks,
  .tell {
    display: flex;
    flex-wrap: wrap;
    gap: 0.1rem 1rem;
    align-items: baseline;
  }
  .frame {
    display: flex;
    gap: 0.35rem;
    align-items: baseline;
    font-weight: 600;
  }
  .frame input {
    width: 5.5rem;
    min-height: 1.75rem;
    padding: 0 0.35rem;
    text-align: right;
  }
  .group {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.8rem;
  }
  .group + .group {
    border-left: 1px solid var(--rule);
    padding-left: 0.9rem;
  }
  /* The badges over the drawing say it already, but where one scrolls past them. */
  .tell {
    display: none;
    min-height: 1.6rem;
  }
  .word {
    font-weight: 600;
    color: var(--verdict);
  }
  .track {
    position: relative;
    height: 104px;
    margin-top: 0.2rem;
    touch-action: pan-y;
    cursor: ew-resize;
    overflow: hidden;
  }
  .track > .plot {
    position: absolute;
    inset: 0;
  }
  .needle {
    position: absolute;
    top: 0;
    bottom: 20px;
    width: 2px;
    margin-left: -1px;
    background: var(--ink);
    pointer-events: none;
  }
  .needle::before {
    content: '';
    position: absolute;
    left: -5px;
    top: 0;
    border: 6px solid transparent;
    border-top-color: var(--ink);
  }
  .flags {
    position: relative;
    height: 26px;
  }
  .flags button {
    position: absolute;
    min-width: 24px;
    min-height: 24px;
    margin-left: -12px;
    padding: 0;
    text-align: center;
    font-size: 0.875rem;
    line-height: 1.3rem;
    border: 0;
    border-top: 2px solid var(--ink);
  }
  .whole {
    display: grid;
    gap: 0.15rem;
    padding: 0.2rem 0 0.3rem;
    max-height: 8rem;
    overflow: auto;
  }
  .bar {
    display: inline-block;
    width: 6rem;
    height: 0.5rem;
    border: 1px solid var(--edge);
    align-self: center;
  }
  .bar > span {
    display: block;
    height: 100%;
    background: var(--ink);
  }
  @media (max-width: 48rem) {
    :host {
      padding-inline: 0.9rem;
    }
    .tell {
      display: flex;
    }
    .head .pencil {
      display: none;
    }
    /* Groups stand below each other here. */
    .group + .group {
      border-left: 0;
      padding-left: 0;
    }
  }
`;
