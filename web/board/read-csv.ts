import Papa from 'papaparse';
import { separatorOf } from '../../core/formats/index.ts';

export type CsvRead =
  | { readonly ok: true; readonly table: string[][] }
  | { readonly ok: false; readonly message: string };

/**
 * A CSV file as rows of cells: UTF-8, with or without a byte order mark, separated by comma, semicolon
 * or tab.
 */
export function readCsv(bytes: Uint8Array): CsvRead {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return { ok: false, message: 'This list is not in UTF-8; save it as CSV UTF-8.' };
  }
  const lines = text.replace(/\r\n?/g, '\n');
  const { data, errors } = Papa.parse<string[]>(lines, {
    delimiter: separatorOf(lines),
    newline: '\n',
  });
  const broken = errors.find(({ type }) => type === 'Quotes');
  if (broken === undefined) return { ok: true, table: data };
  return { ok: false, message: `Row ${(broken.row ?? 0) + 1} has a quote that does not end.` };
}
