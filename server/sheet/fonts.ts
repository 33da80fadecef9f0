import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';

/**
 * The page's own open face on paper. The packages split it into two files by alphabet: a line of text
 * is set in runs, each in the file that has its letters.
 */
const FACES = {
  regular: { weight: 400, style: 'normal' },
  bold: { weight: 600, style: 'normal' },
  italic: { weight: 400, style: 'italic' },
} as const;

export type Face = keyof typeof FACES;

const SUBSETS = ['latin', 'latin-ext'] as const;
type Subset = (typeof SUBSETS)[number];

const FAMILY = 'atkinson-hyperlegible-next';

const nameOf = (face: Face, subset: Subset): string => `${face} ${subset}`;

/** Written in place of a letter that neither file has. */
const MISSING = '\u25a1';

interface Run {
  readonly font: string;
  readonly text: string;
}

/** Makes the face known to a document; gives what splits text into runs of one font each. */
export function registerFonts(doc: PDFKit.PDFDocument): (text: string, face: Face) => Run[] {
  const root = dirname(
    createRequire(import.meta.url).resolve(`@fontsource/${FAMILY}/package.json`),
  );
  const known = new Map<string, (code: number) => boolean>();
  for (const face of Object.keys(FACES) as Face[]) {
    const { weight, style } = FACES[face];
    for (const subset of SUBSETS) {
      // Not woff2: its packed outlines of accented letters do not survive being embedded.
      const file = join(root, 'files', `${FAMILY}-${subset}-${weight}-${style}.woff`);
      doc.registerFont(nameOf(face, subset), file);
      doc.font(nameOf(face, subset));
      const { font } = (doc as unknown as { _font: { font: Glyphs } })._font;
      known.set(nameOf(face, subset), (code) => font.hasGlyphForCodePoint(code));
    }
  }
  return (text, face) => {
    const runs: { font: string; text: string }[] = [];
    for (const letter of text) {
      const code = letter.codePointAt(0) ?? 0;
      const subset = SUBSETS.find((name) => known.get(nameOf(face, name))?.(code));
      // A white square, from the first file, or a question mark where it has none.
      const fallback = known.get(nameOf(face, 'latin'))?.(MISSING.codePointAt(0) ?? 0)
        ? MISSING
        : '?';
      const font = nameOf(face, subset ?? 'latin');
      const last = runs.at(-1);
      const shown = subset === undefined && !/\s/.test(letter) ? fallback : letter;
      if (last?.font === font) last.text += shown;
      else runs.push({ font, text: shown });
    }
    return runs;
  };
}

interface Glyphs {
  hasGlyphForCodePoint(code: number): boolean;
}
