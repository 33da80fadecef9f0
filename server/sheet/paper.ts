import PDFDocument from 'pdfkit';
import svgToPdf from 'svg-to-pdfkit';
import { colourOf, type Ink } from '../../core/drawing/index.ts';
import { type Face, registerFonts } from './fonts.ts';

export const PAPERS = ['a4', 'letter'] as const;
export type PaperName = (typeof PAPERS)[number];

/** Points. */
const SIZES: Readonly<Record<PaperName, readonly [width: number, height: number]>> = {
  a4: [595.28, 841.89],
  letter: [612, 792],
};

const SIDE = 48;
const TOP = 48;
/** Room at the foot for the caution and the page's number. */
const FOOT = 76;

export interface Setting {
  /** Points; 10 if left out. */
  readonly size?: number;
  readonly face?: Face;
  readonly ink?: Ink;
  /** From the left edge of the text area, points. */
  readonly indent?: number;
  /** Free space below, points. */
  readonly after?: number;
}

/** Pages of a sheet, written from top to bottom. All lengths are points. */
export class Paper {
  readonly doc: PDFKit.PDFDocument;
  readonly left = SIDE;
  readonly width: number;
  readonly height: number;
  readonly #runs: ReturnType<typeof registerFonts>;

  constructor(paper: PaperName, { title, at }: { title: string; at: Date }) {
    const size = SIZES[paper];
    this.doc = new PDFDocument({
      size: [...size],
      margins: { top: TOP, bottom: FOOT, left: SIDE, right: SIDE },
      bufferPages: true,
      autoFirstPage: true,
      lang: 'en',
      displayTitle: true,
      info: { Title: title, Creator: 'Counterlean', CreationDate: at },
    });
    this.width = size[0] - 2 * SIDE;
    this.height = size[1];
    this.#runs = registerFonts(this.doc);
  }

  /** Where the next line stands. */
  get y(): number {
    return this.doc.y;
  }

  set y(value: number) {
    this.doc.y = value;
  }

  /** Lowest place of text on a page. */
  get bottom(): number {
    return this.height - FOOT;
  }

  get pageCount(): number {
    return this.doc.bufferedPageRange().count;
  }

  newPage(): void {
    this.doc.addPage();
  }

  /** Goes to a new page where less than `height` is left on this one. */
  keepTogether(height: number): void {
    if (this.y + height > this.bottom) this.newPage();
  }

  /** A paragraph, over as many lines as it needs. */
  write(text: string, setting: Setting = {}): void {
    const { size = 10, face = 'regular', ink = 'ink', indent = 0, after = 2 } = setting;
    const runs = this.#runs(clean(text), face);
    const left = this.left + indent;
    const { y } = this;
    this.doc.fillColor(colourOf(ink, 'paper')).fontSize(size);
    runs.forEach(({ font, text: part }, index) => {
      this.doc.font(font);
      const options = { width: this.width - indent, continued: index < runs.length - 1 };
      if (index === 0) this.doc.text(part, left, y, options);
      else this.doc.text(part, options);
    });
    this.y += after;
  }

  /** A single line within `width`, cut with an ellipsis where it is too long. Leaves `y` alone. */
  line(
    text: string,
    at: { readonly x: number; readonly y: number; readonly width: number },
    setting: Setting & { readonly align?: 'left' | 'right' } = {},
  ): void {
    const { size = 10, face = 'regular', ink = 'ink', align = 'left' } = setting;
    this.doc.fontSize(size).fillColor(colourOf(ink, 'paper'));
    const { y } = this;
    const shown = this.#fitting(clean(text), face, at.width);
    let x = align === 'left' ? at.x : at.x + at.width - this.#widthOf(shown, face);
    for (const { font, text: part } of this.#runs(shown, face)) {
      this.doc.font(font).text(part, x, at.y, { lineBreak: false });
      x += this.doc.widthOfString(part);
    }
    this.y = y;
  }

  rule(ink: Ink = 'rule', width = 0.75): void {
    this.doc
      .moveTo(this.left, this.y)
      .lineTo(this.left + this.width, this.y)
      .lineWidth(width)
      .strokeColor(colourOf(ink, 'paper'))
      .stroke();
    this.y += 6;
  }

  /** A drawing as lines and letters, not as a picture. Leaves `y` alone. */
  drawing(svg: string, at: { x: number; y: number; width: number; height: number }): void {
    const { y } = this;
    svgToPdf(this.doc, haloed(svg), at.x, at.y, {
      width: at.width,
      height: at.height,
      assumePt: true,
      fontCallback: (_family, bold) => (bold ? 'bold latin' : 'regular latin'),
      warningCallback: () => undefined,
    });
    this.y = y;
  }

  /** Writes at the foot of every page: the caution, and which page of how many. */
  footers(caution: string, title: string): void {
    const { doc } = this;
    const count = this.pageCount;
    for (let page = 0; page < count; page++) {
      doc.switchToPage(page);
      // Below the margin, where pdfkit would otherwise begin another page.
      doc.page.margins.bottom = 0;
      this.y = this.height - FOOT + 22;
      this.rule('rule', 0.5);
      const y = this.y;
      const wide = this.width - 110;
      doc.font('regular latin').fontSize(7.5).fillColor(colourOf('pencil', 'paper'));
      doc.text(caution, this.left, y, { width: wide });
      const place = { x: this.left + wide, y, width: 110 };
      this.line(`${page + 1} of ${count}`, place, { size: 8, align: 'right' });
      this.line(title, { ...place, y: y + 11 }, { size: 7.5, ink: 'pencil', align: 'right' });
    }
  }

  /** The finished file. */
  async end(): Promise<Uint8Array> {
    const parts: Uint8Array[] = [];
    const ended = new Promise<void>((resolve, reject) => {
      this.doc.on('data', (part: Uint8Array) => parts.push(part));
      this.doc.on('end', resolve);
      this.doc.on('error', reject);
    });
    this.doc.end();
    await ended;
    return new Uint8Array(Buffer.concat(parts));
  }

  #widthOf(text: string, face: Face): number {
    return this.#runs(text, face).reduce(
      (sum, { font, text: part }) => sum + this.doc.font(font).widthOfString(part),
      0,
    );
  }

  #fitting(text: string, face: Face, width: number): string {
    if (this.#widthOf(text, face) <= width) return text;
    const letters = [...text];
    while (letters.length > 0 && this.#widthOf(`${letters.join('')}\u2026`, face) > width) {
      letters.pop();
    }
    return `${letters.join('')}\u2026`;
  }
}

/**
 * Letters of our drawings have their halo under them by `paint-order`, which svg-to-pdfkit does not
 * know: here the halo is a text of its own before them.
 */
const haloed = (svg: string): string =>
  svg.replace(
    /<text ([^>]*?)( stroke="[^"]*" stroke-width="3") paint-order="stroke">([^<]*)<\/text>/g,
    '<text $1$2>$3</text><text $1>$3</text>',
  );

/** Text without control characters, which have no letters; line ends stay. */
const clean = (text: string): string =>
  text.replace(/\r\n?/g, '\n').replace(/[\p{Cc}\p{Cf}]/gu, (sign) => (sign === '\n' ? sign : ' '));
