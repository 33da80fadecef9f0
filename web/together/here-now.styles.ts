import { css } from 'lit';

/** One line whose height never changes: names give way to the number that stands before them. */
export const hereNowStyles = css`
  :host {
    display: block;
    container: line / inline-size;
    min-width: 0;
  }
  section {
    display: flex;
    align-items: baseline;
    gap: 0.9rem;
    position: relative;
    white-space: nowrap;
  }
  .number {
    flex: none;
  }
  .line {
    flex: 0 1 auto;
    min-width: 0;
    display: flex;
    gap: 1.1rem;
    overflow: hidden;
    /* Room for the ring of the focus, which the edge would cut. */
    padding: 5px;
    margin: -5px;
  }
  .deeds {
    flex: none;
    display: flex;
    gap: 0.9rem;
  }
  li {
    display: inline-flex;
    gap: 0.35rem;
    align-items: baseline;
    flex: none;
  }
  .line .other {
    flex: 0 1 auto;
    min-width: 4.5rem;
  }
  .person-mark,
  .hand {
    flex: none;
  }
  li button {
    overflow: hidden;
    text-overflow: ellipsis;
    max-width: 8rem;
  }
  .person-mark {
    align-self: center;
  }
  .hand {
    border: 1px solid var(--ink);
    padding-inline: 0.3rem;
    font-weight: 600;
  }
  @container line (width < 50rem) {
    .other:nth-child(n + 5) {
      display: none;
    }
  }
  @container line (width < 44rem) {
    .other:nth-child(n + 4) {
      display: none;
    }
  }
  @container line (width < 38rem) {
    .other:nth-child(n + 3) {
      display: none;
    }
  }
  @container line (width < 32rem) {
    .other {
      display: none;
    }
  }
  @container line (width < 26rem) {
    .role {
      display: none;
    }
  }
  .all {
    position: absolute;
    z-index: 15;
    top: calc(100% + 0.55rem);
    left: 0;
    width: min(36rem, 100vw - 4rem);
    max-height: min(24rem, 60dvh);
    overflow-y: auto;
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(15rem, 1fr));
    gap: 0.1rem 1.25rem;
    padding: 0.75rem 1rem;
    background: var(--sheet);
    border: 1px solid var(--edge);
    border-top: 2px solid var(--ink);
  }
  .all li {
    overflow: hidden;
  }
  @media (max-width: 48rem) {
    :host {
      container: none;
    }
    section {
      flex-wrap: wrap;
    }
    .line {
      flex-basis: 100%;
      flex-direction: column;
      gap: 0.2rem;
    }
    .line li button {
      max-width: 60vw;
    }
    .all {
      position: static;
      width: 100%;
      grid-template-columns: minmax(0, 1fr);
    }
  }
`;
