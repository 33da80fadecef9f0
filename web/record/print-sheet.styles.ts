import { css, unsafeCSS } from 'lit';
import { colourOf } from '../../core/drawing/index.ts';
import { SHEET_CAUTION } from '../../core/sheet/index.ts';

const INK = unsafeCSS(colourOf('ink', 'paper'));
const PENCIL = unsafeCSS(colourOf('pencil', 'paper'));
const RULE = unsafeCSS(colourOf('rule', 'paper'));

/** For the document while a sheet is printed: the sheet alone, with the caution at the foot of every page. */
export const PAGE_RULES = `
  @page {
    margin: 15mm 16mm 22mm;
    @bottom-left {
      content: ${JSON.stringify(SHEET_CAUTION)};
      width: 82%;
      text-align: left;
      font: 7.5pt/1.3 'Atkinson Hyperlegible Next', system-ui, sans-serif;
      color: ${colourOf('pencil', 'paper')};
    }
    @bottom-right {
      content: counter(page) ' of ' counter(pages);
      text-align: right;
      font: 8pt 'Atkinson Hyperlegible Next', system-ui, sans-serif;
      color: ${colourOf('ink', 'paper')};
    }
  }
  @media print {
    html, body { height: auto; overflow: visible; background: none; }
    body > :not(cl-print-sheet) { display: none !important; }
  }
  @media screen {
    cl-print-sheet { display: none; }
  }
`;

/** Lengths of paper: points and millimetres. */
export const printSheetStyles = css`
  :host {
    display: block;
    color: ${INK};
    font: 10pt/1.35 'Atkinson Hyperlegible Next', system-ui, sans-serif;
    font-variant-numeric: tabular-nums;
    overflow-wrap: anywhere;
    print-color-adjust: exact;
  }
  * {
    box-sizing: border-box;
  }
  p,
  h1,
  h2,
  h3,
  dl,
  ol,
  ul {
    margin: 0;
    padding: 0;
    list-style: none;
  }
  h1 {
    font-size: 26pt;
    line-height: 1.1;
    padding-bottom: 6pt;
    border-bottom: 1.5pt solid ${INK};
    margin-bottom: 6pt;
  }
  h2 {
    font-size: 18pt;
    line-height: 1.15;
  }
  h3 {
    font-size: 12pt;
    margin: 10pt 0 4pt;
    padding-bottom: 3pt;
    border-bottom: 0.75pt solid ${RULE};
  }
  h1,
  h2,
  h3 {
    font-weight: 600;
    break-after: avoid;
  }
  .shot {
    break-before: page;
  }
  .terms {
    padding-bottom: 5pt;
    border-bottom: 1pt solid ${INK};
  }
  .quiet {
    color: ${PENCIL};
  }
  .small {
    font-size: 9pt;
  }
  .gap {
    margin-top: 8pt;
  }
  .drawings {
    display: grid;
    grid-template-columns: 1fr 1fr;
    gap: 5pt;
    margin: 6pt 0;
    break-inside: avoid;
  }
  .drawings svg {
    display: block;
    width: 100%;
    height: auto;
  }
  .verdict {
    font-size: 15pt;
    font-weight: 600;
  }
  .pair {
    display: grid;
    grid-template-columns: 96pt 1fr;
    gap: 0 6pt;
    break-inside: avoid;
  }
  .line,
  .person {
    break-inside: avoid;
    margin-bottom: 3pt;
  }
  .row {
    display: grid;
    grid-template-columns: 84pt 1fr 62pt 106pt;
    gap: 0 6pt;
    line-height: 17pt;
    break-inside: avoid;
  }
  .sequence {
    font-weight: 600;
    margin-top: 4pt;
    break-after: avoid;
  }
  .note {
    display: grid;
    grid-template-columns: 22pt 1fr;
    margin-bottom: 7pt;
  }
  .note > b {
    font-weight: 600;
  }
  .note .head {
    break-after: avoid;
  }
  .text {
    white-space: pre-wrap;
    margin-bottom: 2pt;
    orphans: 2;
    widows: 2;
  }
  .reply {
    margin: 3pt 0 0 22pt;
  }
`;
