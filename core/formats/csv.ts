/** A cell: text, a number (written plainly), or nothing. */
export type CsvCell = string | number | null;

/**
 * Rows as CSV by RFC 4180: a header line, CRLF line ends, cells quoted where they hold a comma, a quote
 * or a line end. Text that a spreadsheet would take for a formula (it begins with = + - @, a tab or a
 * return, with or without apostrophes before it) gets one more apostrophe; numbers, also negative ones, stay numbers.
 */
export function writeCsv(header: readonly string[], rows: Iterable<readonly CsvCell[]>): string {
  const lines = [line(header)];
  for (const row of rows) {
    if (row.length !== header.length)
      throw new RangeError(`a row needs ${header.length} cells like the header, got ${row.length}`);
    lines.push(line(row));
  }
  return `${lines.join('\r\n')}\r\n`;
}

const line = (cells: readonly CsvCell[]): string => cells.map(cellText).join(',');

function cellText(cell: CsvCell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return Number.isFinite(cell) ? String(cell) : '';
  const guarded = /^'*[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell;
  return /[",\r\n]/.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}
