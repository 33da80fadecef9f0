import Papa from 'papaparse';
import { separatorOf } from '../../core/formats/index.ts';
import { AppError } from '../errors.ts';

/**
 * A CSV file as rows of cells: UTF-8, with or without a byte order mark, separated by comma, semicolon
 * or tab.
 * @throws AppError for a file that is not text in UTF-8, or breaks off inside quotes
 */
export function readCsv(bytes: Uint8Array): string[][] {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (cause) {
    const hint = 'Save it as CSV UTF-8.';
    throw new AppError('unreadable', 'The list is not in UTF-8.', hint, { cause });
  }
  const lines = text.replace(/\r\n?/g, '\n');
  const { data, errors } = Papa.parse<string[]>(lines, {
    delimiter: separatorOf(lines),
    newline: '\n',
  });
  const broken = errors.find(({ type }) => type === 'Quotes');
  if (broken !== undefined) {
    const message = `Row ${(broken.row ?? 0) + 1} has a quote that does not end.`;
    throw new AppError('unreadable', message, 'Mend it and bring the list again.');
  }
  return data;
}
