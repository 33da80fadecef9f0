import { css } from 'lit';

/** A dialog is a sheet of paper laid on the page: one heavy rule on top, nothing else. */
export const dialogStyles = css`
  dialog {
    border: 1px solid var(--edge);
    border-top: 3px solid var(--ink);
    background: var(--sheet);
    color: var(--ink);
    padding: 1.25rem 1.5rem 1.5rem;
    width: min(40rem, 100vw - 1.5rem);
    /* Its head stays where it is when something comes in below. */
    --above: max(1rem, 4dvh);
    margin-block: var(--above) auto;
    max-height: calc(100dvh - 2 * var(--above));
    overflow: auto;
    scroll-padding-top: 4rem;
    /* It may stand in a row that does not break its lines. */
    white-space: normal;
  }
  dialog::backdrop {
    /* Dark in both rooms: in the darkened one the ink is light, and would light the page up. */
    background: rgb(0 0 0 / 40%);
  }
  dialog .head {
    display: flex;
    justify-content: space-between;
    align-items: baseline;
    gap: 1rem;
    /* In sight, with the way out, however far one reads. */
    position: sticky;
    top: -1.25rem;
    z-index: 1;
    margin: -1.25rem -1.5rem 0.4rem;
    padding: 1.25rem 1.5rem 0.5rem;
    background: var(--sheet);
  }
  dialog h2 {
    font-size: 1.35rem;
  }
  dialog h3 {
    font-size: 1rem;
    margin-top: 1.1rem;
    padding-top: 0.7rem;
    border-top: 1px solid var(--rule);
  }
  @media (max-width: 36rem) {
    dialog {
      --above: 1rem;
    }
  }
`;
