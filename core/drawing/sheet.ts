import { colourOf, type Ink, type Theme } from './ink.ts';
import type { PagePoint } from './view.ts';

export interface Stroke {
  readonly ink: Ink;
  /** CSS pixels. */
  readonly width: number;
  readonly dash?: readonly number[];
}

export interface Style {
  readonly fill?: Ink;
  /** 0 to 1; 1 if left out. */
  readonly fillOpacity?: number;
  readonly stroke?: Stroke;
}

export interface TextStyle {
  readonly ink: Ink;
  /** CSS pixels. */
  readonly size: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly bold?: boolean;
  /** A line of this ink round the letters, so that they stay readable over lines. */
  readonly halo?: Ink;
}

/** Where a drawing goes: SVG here, a recorder in tests. All points are page pixels. */
export interface Sheet {
  /** Polylines or polygons with one style; a closed shape needs at least three points. */
  shape(outlines: readonly (readonly PagePoint[])[], closed: boolean, style: Style): void;
  circle(centre: PagePoint, radius: number, style: Style): void;
  text(at: PagePoint, text: string, style: TextStyle): void;
  /** What `draw` puts down belongs to the part `name` (a class in SVG). */
  part(name: string, draw: () => void): void;
}

export interface SvgOptions {
  readonly width: number;
  readonly height: number;
  readonly theme: Theme;
  readonly title: string;
  readonly description: string;
  /** Colours the whole sheet; left out, the drawing is transparent. */
  readonly ground?: Ink;
}

const XML: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
};

// Control characters are not allowed in XML 1.0 at all (section 2.2), not even escaped.
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
const FORBIDDEN = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]/g;

const escapeXml = (text: string): string =>
  text.replace(FORBIDDEN, '').replace(/[&<>"]/g, (sign) => XML[sign] ?? sign);

/** One decimal: a tenth of a pixel is finer than any line here. */
const px = (value: number): string => String(Math.round(value * 10) / 10);

/** A sheet that writes SVG; `finish` gives the document. */
export function svgSheet(options: SvgOptions): Sheet & { finish(): string } {
  const { theme } = options;
  const out: string[] = [];

  const paint = (style: Style): string => {
    const parts = [`fill="${style.fill === undefined ? 'none' : colourOf(style.fill, theme)}"`];
    if (style.fillOpacity !== undefined) parts.push(`fill-opacity="${style.fillOpacity}"`);
    if (style.stroke !== undefined) {
      const { ink, width, dash } = style.stroke;
      parts.push(`stroke="${colourOf(ink, theme)}" stroke-width="${px(width)}"`);
      if (dash !== undefined) parts.push(`stroke-dasharray="${dash.join(' ')}"`);
    }
    return parts.join(' ');
  };

  return {
    shape(outlines, closed, style) {
      const d = outlines
        .map((outline) => {
          const points = outline.map(([x, y]) => `${px(x)} ${px(y)}`).join('L');
          return `M${points}${closed ? 'Z' : ''}`;
        })
        .join('');
      if (d !== '') out.push(`<path d="${d}" ${paint(style)}/>`);
    },
    circle([x, y], radius, style) {
      out.push(`<circle cx="${px(x)}" cy="${px(y)}" r="${px(radius)}" ${paint(style)}/>`);
    },
    text([x, y], text, style) {
      const halo =
        style.halo === undefined
          ? ''
          : ` stroke="${colourOf(style.halo, theme)}" stroke-width="3" paint-order="stroke"`;
      out.push(
        `<text x="${px(x)}" y="${px(y)}" font-size="${px(style.size)}" text-anchor="${style.anchor}"` +
          ` fill="${colourOf(style.ink, theme)}"${style.bold ? ' font-weight="700"' : ''}${halo}>` +
          `${escapeXml(text)}</text>`,
      );
    },
    part(name, draw) {
      out.push(`<g class="${name}">`);
      draw();
      out.push('</g>');
    },
    finish() {
      const { width, height, ground, title, description } = options;
      const rect =
        ground === undefined
          ? ''
          : `<rect width="${px(width)}" height="${px(height)}" fill="${colourOf(ground, theme)}"/>`;
      return (
        `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${px(width)} ${px(height)}"` +
        ` width="${px(width)}" height="${px(height)}" role="img" stroke-linejoin="round"` +
        ' stroke-linecap="round" font-family="\'Atkinson Hyperlegible Next\',system-ui,sans-serif"' +
        ' style="font-variant-numeric:tabular-nums">' +
        `<title>${escapeXml(title)}</title><desc>${escapeXml(description)}</desc>` +
        `${rect}${out.join('')}</svg>`
      );
    },
  };
}
