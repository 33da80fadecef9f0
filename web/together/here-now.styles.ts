import { css } from 'lit';

export const hereNowStyles = css`
  :host {
    display: block;
  }
  section {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 0.2rem 0.9rem;
    position: relative;
  }
  h2 {
    font: inherit;
    color: var(--pencil);
  }
  ul {
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 1.1rem;
  }
  li {
    display: inline-flex;
    gap: 0.35rem;
    align-items: baseline;
    white-space: nowrap;
  }
  .person-mark {
    align-self: center;
  }
  .hand {
    border: 1px solid var(--ink);
    padding-inline: 0.3rem;
    font-weight: 600;
  }
  ul.folded {
    position: absolute;
    z-index: 15;
    top: 100%;
    left: 0;
    right: 0;
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
  .folded li {
    overflow: hidden;
  }
  @media (max-width: 48rem) {
    ul {
      flex-direction: column;
    }
    ul.folded {
      position: static;
      flex-basis: 100%;
      grid-template-columns: minmax(0, 1fr);
    }
  }
`;
