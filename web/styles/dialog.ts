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
    max-height: calc(100dvh - 2rem);
    overflow: auto;
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
    margin-bottom: 0.9rem;
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
`;
