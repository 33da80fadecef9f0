import { css } from 'lit';

export const shotPageStyles = css`
  :host {
    display: flex;
    flex-direction: column;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    gap: 0.35rem 1.1rem;
    align-items: baseline;
    padding: 0.7rem 1.25rem 0.5rem;
  }
  h1 {
    font-size: 1.35rem;
    overflow-wrap: anywhere;
  }
  h1 .title {
    font-weight: 400;
  }
  header form {
    display: flex;
    gap: 0.5rem;
  }
  /* As wide as its longest name where there is room for it. */
  .draft {
    flex: 1 1 14rem;
    min-width: 0;
    max-width: max-content;
  }
  .draft select {
    width: 100%;
    text-overflow: ellipsis;
  }
  nav {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 1rem;
    margin-left: auto;
  }
  .badges {
    padding: 0.5rem 1.25rem 0.6rem;
    border-block: 1px solid var(--rule);
    display: grid;
    gap: 0.5rem;
    background: var(--sheet);
  }
  .badges.moving {
    grid-template-columns: minmax(0, 1fr) minmax(0, 2.6fr);
    gap: 0.5rem 1.5rem;
  }
  .badges.moving > .alone {
    grid-column: 1 / 3;
  }
  .alone {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 1.75rem;
  }
  .alone li {
    display: flex;
    gap: 0.6rem;
    align-items: baseline;
  }
  .work {
    flex: 1;
    display: grid;
    grid-template-columns: minmax(0, 1fr) 22rem;
    min-height: 30rem;
  }
  .bench {
    min-width: 0;
    min-height: 0;
    position: relative;
  }
  cl-bench {
    display: block;
    height: 100%;
  }
  cl-beside {
    border-left: 1px solid var(--rule);
    padding: 0 1.25rem 2rem;
    min-height: 0;
    position: relative;
    overflow-y: auto;
  }
  .held {
    display: flex;
    flex-direction: column;
    height: 100%;
  }
  .held p {
    padding: 0.25rem 0.75rem 0;
  }
  .held > :last-child {
    flex: 1;
  }
  .wait,
  .missing {
    padding: 1.25rem;
  }
  :host([big]) .work {
    flex: none;
    grid-template-columns: minmax(0, 1fr);
  }
  :host([big]) .bench {
    height: 78dvh;
  }
  :host([big]) cl-beside {
    border-left: 0;
    border-top: 2px solid var(--ink);
    overflow-y: visible;
  }
  .parts {
    display: none;
  }
  @media (max-width: 64rem) {
    .parts {
      display: flex;
      justify-content: space-around;
      position: sticky;
      bottom: 0;
      z-index: 10;
      margin: 0;
      padding: 0.35rem 0.9rem;
      background: var(--paper);
      border-top: 1px solid var(--ink);
    }
    .work {
      grid-template-columns: minmax(0, 1fr);
    }
    .bench {
      min-height: 34rem;
    }
    cl-beside {
      border-left: 0;
      border-top: 2px solid var(--ink);
      overflow-y: visible;
    }
  }
  @media (max-width: 48rem) {
    .draft {
      flex-basis: 9rem;
      max-width: none;
    }
    header,
    .badges {
      padding-inline: 0.9rem;
    }
    .badges.moving {
      grid-template-columns: minmax(0, 1fr);
    }
    .badges.moving > .alone {
      grid-column: 1;
    }
    header nav {
      margin-left: 0;
      flex-basis: 100%;
    }
    cl-beside {
      padding-inline: 0.9rem;
    }
  }
`;
