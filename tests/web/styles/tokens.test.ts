import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { colourOf, type Ink } from '../../../core/drawing/index.ts';
import { INKS, inkOf } from '../../../web/styles/inks.ts';

// Relative luminance and contrast ratio as WCAG 2.2 defines them (https://www.w3.org/TR/WCAG22/).
function contrast(a: string, b: string): number {
  const luminance = (hex: string): number => {
    const [r = 0, g = 0, blue = 0] = [1, 3, 5].map((at) => {
      const c = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
      return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * blue;
  };
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

/** The custom properties of each rule of tokens.css: the lit room, then the dark set twice. */
function sets(): Map<string, string>[] {
  const css = readFileSync(new URL('../../../web/styles/tokens.css', import.meta.url), 'utf8');
  return css
    .split(':root')
    .slice(1)
    .map((rule) => {
      const found = rule.matchAll(/--([\w-]+): (#[0-9a-f]{6});/g);
      return new Map([...found].map(([, name = '', value = '']) => [name, value] as const));
    });
}

const [light = new Map(), dark = new Map(), chosenDark = new Map()] = sets();
const TEXT = ['ink', 'pencil', 'holds', 'teeters', 'falls', 'airborne', 'carried'];

describe('tokens', () => {
  it('are the inks of drawings that leave the page', () => {
    const inks: readonly Ink[] = [
      ...(['paper', 'sheet', 'ink', 'pencil', 'rule', 'figure', 'figure-far', 'load'] as const),
      ...(['holds', 'teeters', 'falls', 'airborne', 'carried'] as const),
    ];
    for (const ink of inks) expect(colourOf(ink, 'paper').toLowerCase(), ink).toBe(light.get(ink));
  });

  it('hold the same dark set for the system preference and for the dark room switch', () => {
    expect(dark.size).toBeGreaterThan(20);
    expect([...chosenDark]).toEqual([...dark]);
    expect([...light.keys()].sort()).toEqual([...dark.keys()].sort());
  });

  for (const [room, tokens] of [
    ['lit', light],
    ['dark', dark],
  ] as const) {
    // WCAG 2.2: 1.4.3 for text, 1.4.11 for the outlines of controls.
    it(`keep text at 4.5:1 and outlines at 3:1 in the ${room} room`, () => {
      for (const ground of ['paper', 'sheet']) {
        const on = (name: string): number =>
          contrast(tokens.get(name) ?? '#000000', tokens.get(ground) ?? '#000000');
        for (const name of TEXT) expect(on(name), `${name} on ${ground}`).toBeGreaterThan(4.5);
        expect(on('edge'), `edge on ${ground}`).toBeGreaterThan(3);
      }
    });

    it(`give every person a readable ink in the ${room} room`, () => {
      for (const [index, ink] of INKS.entries()) {
        const colour = room === 'lit' ? ink.light : ink.dark;
        expect(tokens.get(`person-${index}`)).toBe(colour);
        expect(contrast(colour, tokens.get('paper') ?? ''), ink.name).toBeGreaterThan(4.5);
      }
    });
  }

  it('tell neighbours in the row of inks apart by pattern too', () => {
    for (const [index, ink] of INKS.entries()) {
      expect(inkOf(index + 1).pattern).not.toBe(ink.pattern);
    }
    expect(inkOf(-1)).toBe(INKS[11]);
  });
});
