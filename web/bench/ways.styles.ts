import { css } from 'lit';

export const waysStyles = css`
  :host {
    display: block;
  }
  .head {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.8rem;
    align-items: baseline;
    min-height: 2rem;
  }
  .ways {
    display: grid;
    gap: 0.2rem;
  }
  .way {
    display: grid;
    grid-template-columns: 7.5rem minmax(0, 1fr);
    gap: 0 0.7rem;
    padding: 0.6rem 0;
    border-top: 1px solid var(--rule);
  }
  .way h3 {
    font-size: 1rem;
  }
  .picture {
    display: block;
    width: 100%;
    border: 1px solid var(--rule);
    padding: 0;
    min-height: 0;
    align-self: start;
  }
  .picture[aria-pressed='true'] {
    border-color: var(--ink);
    box-shadow: 0 0 0 1px var(--ink);
  }
  .picture svg {
    display: block;
    width: 100%;
    height: auto;
  }
  .moves {
    font-size: 0.875rem;
    line-height: 1.35;
  }
  .deeds {
    grid-column: 1 / -1;
    display: flex;
    flex-wrap: wrap;
    gap: 0.2rem 0.9rem;
    padding-top: 0.3rem;
  }
  details {
    border-top: 1px solid var(--rule);
    padding-top: 0.4rem;
  }
  dt {
    font-weight: 600;
    padding-top: 0.25rem;
  }
  dd {
    margin: 0;
    font-size: 0.875rem;
    line-height: 1.35;
  }
  @media (max-width: 48rem) {
    .ways {
      grid-template-columns: repeat(auto-fill, minmax(19rem, 1fr));
      gap: 0 1rem;
    }
  }
`;
