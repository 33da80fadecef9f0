import { describe, expect, it } from 'vitest';
import { writeCsv } from '../../../core/formats/index.ts';

describe('CSV by RFC 4180', () => {
  it('quotes what holds a comma, a quote or a line end, and ends lines with CRLF', () => {
    expect(writeCsv(['a', 'b'], [['x,y', 'he said "no"\nthen left']])).toBe(
      'a,b\r\n"x,y","he said ""no""\nthen left"\r\n',
    );
  });

  it('keeps negative numbers numbers and disarms text that looks like a formula', () => {
    expect(
      writeCsv(
        ['n', 't'],
        [
          [-1.5, '=1+1'],
          [null, '@sum'],
        ],
      ),
    ).toBe("n,t\r\n-1.5,'=1+1\r\n,'@sum\r\n");
  });

  it('refuses a row that does not fit its header', () => {
    expect(() => writeCsv(['a'], [['x', 'y']])).toThrow(
      'a row needs 1 cells like the header, got 2',
    );
  });
});
