import { css } from 'lit';

/** One line whose height never changes: names give way to the number that stands before them. */
export const hereNowStyles = css`
  :host {
    display: block;
    min-width: 0;
  }
  section {
    display: flex;
    align-items: baseline;
    gap: 0.9rem;
    white-space: nowrap;
  }
  .number {
    flex: none;
  }
  /* Whoever finds no place in the one line stands in the next, which is cut off. */
  .line {
    flex: 0 1 auto;
    min-width: 0;
    display: flex;
    flex-wrap: wrap;
    gap: 1rem 1.1rem;
    height: calc(1.75rem + 10px);
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
  .me {
    flex: 0 1 auto;
    max-width: 100%;
  }
  .role {
    min-width: 0;
    overflow: hidden;
    text-overflow: ellipsis;
  }
  .person-mark,
  .hand,
  .me button {
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
  .all {
    position: absolute;
    z-index: 15;
    /* From the edge of the page's head, which is what it is placed by. */
    top: 100%;
    left: 1.25rem;
    width: min(46rem, 100% - 2.5rem);
    max-height: min(24rem, 60dvh);
    overflow-y: auto;
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(20rem, 1fr));
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
    section {
      flex-wrap: wrap;
    }
    .line {
      flex-basis: 100%;
      flex-direction: column;
      flex-wrap: nowrap;
      height: auto;
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
