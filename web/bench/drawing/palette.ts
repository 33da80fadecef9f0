import { Color } from 'three';

/** The page's colours as the drawing uses them, read from the page's tokens. */
export interface Palette {
  readonly sheet: Color;
  readonly ink: Color;
  readonly pencil: Color;
  readonly rule: Color;
  readonly figure: Color;
  readonly load: Color;
}

/** Reads the palette where an element stands, so that a darkened room gets its own set. */
export function readPalette(host: Element): Palette {
  const style = getComputedStyle(host);
  const token = (name: string, otherwise: string): Color =>
    new Color(style.getPropertyValue(name).trim() || otherwise);
  return {
    sheet: token('--sheet', '#fffdf8'),
    ink: token('--ink', '#1d2330'),
    pencil: token('--pencil', '#6b6a63'),
    rule: token('--rule', '#dcd5c6'),
    figure: token('--figure', '#e7decb'),
    load: token('--load', '#cdbb97'),
  };
}
