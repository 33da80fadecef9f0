import { css } from 'lit';

/** One row, whoever is here: what finds no place in it stands behind "More". */
export const topBarStyles = css`
  :host {
    display: block;
    container: bar / inline-size;
    position: relative;
    z-index: 16;
  }
  header {
    display: flex;
    align-items: baseline;
    gap: 1.25rem;
    padding: 0.55rem 1.25rem;
    border-bottom: 2px solid var(--ink);
    position: relative;
    white-space: nowrap;
  }
  .title {
    flex: 0 2 auto;
    min-width: 4rem;
    overflow: hidden;
    text-overflow: ellipsis;
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
  cl-here-now {
    flex: 1 1 0;
  }
  .deeds {
    flex: none;
    display: flex;
    align-items: baseline;
    gap: 0.9rem;
  }
  .menu {
    display: none;
    order: 1;
  }
  @container bar (width < 88rem) {
    .menu {
      display: block;
    }
    .rest {
      display: none;
    }
    .rest.open {
      display: grid;
      justify-items: start;
      gap: 0.35rem;
      position: absolute;
      top: 100%;
      right: 0;
      padding: 0.75rem 1.25rem;
      background: var(--sheet);
      border: 1px solid var(--edge);
      border-top: 2px solid var(--ink);
      margin-top: -2px;
    }
  }
  @container bar (width < 48rem) {
    header {
      padding-inline: 0.9rem;
      gap: 0 0.9rem;
      flex-wrap: wrap;
    }
    .title {
      flex: 1 0 0;
    }
    .along .title {
      display: none;
    }
    .saved {
      min-width: 0;
    }
    .menu {
      order: 0;
    }
    .fold {
      display: none;
    }
    .fold.open,
    .rest.open {
      display: flex;
      flex: 0 0 100%;
      flex-wrap: wrap;
      gap: 0.25rem 0.9rem;
      padding-block: 0.4rem;
    }
    cl-here-now.open {
      display: block;
    }
    .rest.open {
      position: static;
      padding: 0 0 0.5rem;
      border: 0;
      margin: 0;
      background: none;
    }
  }
`;
