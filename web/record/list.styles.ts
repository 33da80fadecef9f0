import { css } from 'lit';

/** Lists of tokens and webhooks in a dialog, and the form under them. */
export const listStyles = css`
  :host {
    display: grid;
    gap: 0.6rem;
  }
  li {
    padding-block: 0.45rem;
    border-bottom: 1px solid var(--rule);
    display: grid;
    gap: 0.25rem;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 1rem;
    align-items: baseline;
    overflow-wrap: anywhere;
  }
  form {
    display: flex;
    flex-wrap: wrap;
    gap: 0.4rem 0.9rem;
    align-items: end;
  }
  label {
    display: grid;
    gap: 0.1rem;
  }
  label.wide {
    flex: 1 1 16rem;
  }
  input {
    width: 100%;
  }
`;
