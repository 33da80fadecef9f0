import { css } from 'lit';

export const benchStyles = css`
  :host {
    display: block;
  }
  .bench {
    display: grid;
    grid-template: minmax(0, 1fr) auto / 20rem minmax(0, 1fr);
    height: 100%;
    min-height: 0;
  }
  cl-ledger {
    grid-area: 1 / 1;
    /* Words for readers alone are laid out here, and do not make the page longer than its window. */
    position: relative;
    overflow-y: auto;
    padding: 0 1rem 2rem 1.25rem;
    border-right: 1px solid var(--rule);
    min-height: 0;
  }
  .drawings {
    grid-area: 1 / 2;
    display: grid;
    grid-template-rows: auto minmax(0, 2.1fr) minmax(0, 1fr);
    min-width: 0;
    min-height: 0;
  }
  cl-elevation,
  cl-call-sheet.elevation {
    grid-area: 2 / 1;
  }
  cl-plan,
  cl-call-sheet.plan {
    grid-area: 3 / 1;
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 1rem;
    align-items: center;
    padding: 0.25rem 0.75rem;
  }
  .tools > span {
    display: flex;
    gap: 0.3rem 0.7rem;
  }
  cl-strip,
  .clip {
    grid-area: 2 / 1 / 3 / 3;
  }
  /* Whatever is told under it, the drawing keeps more than half. */
  cl-strip {
    max-height: 46vh;
    position: relative;
    overflow: hidden auto;
  }
  .clip {
    padding: 0.5rem 1.25rem;
    border-top: 1px solid var(--rule);
  }
  @media (max-width: 48rem) {
    .bench {
      display: block;
      height: auto;
    }
    .drawings {
      grid-template-rows: auto 58dvh 26dvh;
    }
    cl-ledger {
      border-right: 0;
      border-top: 2px solid var(--ink);
      padding-inline: 0.9rem;
      overflow: visible;
    }
    cl-strip,
    .clip {
      padding-inline: 0.9rem;
    }
    cl-strip {
      max-height: none;
    }
  }
`;
