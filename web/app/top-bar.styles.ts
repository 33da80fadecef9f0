import { css } from 'lit';

export const topBarStyles = css`
  :host {
    display: block;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 0.2rem 1.25rem;
    padding: 0.55rem 1.25rem;
    border-bottom: 2px solid var(--ink);
  }
  .title {
    font-weight: 600;
    font-size: 1.125rem;
  }
  .title a {
    text-decoration: none;
  }
  .saved {
    color: var(--pencil);
    min-width: 4rem;
  }
  .saved.offline {
    color: var(--falls);
  }
  .fold {
    flex: 1;
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    justify-content: space-between;
    gap: 0.3rem 1.5rem;
  }
  .deeds {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 0.25rem 0.9rem;
  }
  .menu {
    display: none;
  }
  @media (max-width: 48rem) {
    header {
      padding-inline: 0.9rem;
      justify-content: space-between;
    }
    .title {
      flex: 1;
    }
    .menu {
      display: block;
    }
    .fold {
      display: none;
      flex-basis: 100%;
    }
    .fold.open {
      display: grid;
      gap: 0.75rem;
      padding-block: 0.5rem;
    }
  }
`;
