import { describe, expect, it } from 'vitest';
import { drawStrip, type StripFrame } from '../../../core/drawing/index.ts';

const options = { rate: 24, ticks: [], title: 'Rise', description: 'Falls, then holds.' };

/** Ten frames from outside the support to its middle; numbers chosen for the drawing. */
const frames = Array.from(
  { length: 10 },
  (_, frame): StripFrame => ({
    frame,
    verdict: frame < 4 ? 'falls' : 'holds',
    ratio: frame === 5 ? null : -1 + frame * 0.2,
    moving: null,
  }),
);

const part = (svg: string, name: string): string =>
  svg.split(`<g class="${name}">`)[1]?.split('</g>')[0] ?? '';

const pathsOf = (svg: string, name: string): number[][] =>
  [...part(svg, name).matchAll(/ d="([^"]*)"/g)].map(([, d = '']) =>
    (d.match(/-?\d+(?:\.\d+)?/g) ?? []).map(Number),
  );

describe('the margin strip', () => {
  it('has a lane with its word for each verdict that occurs, and for no other', () => {
    const words = [...part(drawStrip(frames, options), 'lanes').matchAll(/>([a-z ]+)<\/text>/g)];
    expect(words.map(([, word]) => word)).toEqual(['holds', 'falls']);
  });

  it('draws the margin upwards into the support, with a gap where there is none', () => {
    const svg = drawStrip(frames, options);
    const line = part(svg, 'margin');
    expect(line.match(/M/g)).toHaveLength(2);
    const [numbers = []] = pathsOf(svg, 'margin');
    const heights = numbers.filter((_, i) => i % 2 === 1);
    // Page y grows downwards: a rising margin gives falling numbers.
    expect(heights).toHaveLength(9);
    expect([...heights].sort((a, b) => b - a)).toEqual(heights);
  });

  it('marks changes of the support only inside what is shown', () => {
    const ticks = (at: readonly number[]) =>
      part(drawStrip(frames, { ...options, ticks: at }), 'changes').match(/<path/g)?.length ?? 0;
    expect([ticks([]), ticks([4]), ticks([2, 6]), ticks([-3, 10, 40])]).toEqual([0, 1, 2, 0]);
  });

  it('explains only the marks that it carries', () => {
    const still = drawStrip(frames, options);
    expect(still).not.toContain('the support changes');
    expect(still).not.toContain('dashed');
    const moving = frames.map((frame) => ({ ...frame, moving: 0.2 }));
    const told = drawStrip(moving, { ...options, ticks: [4] });
    expect(told).toContain('the support changes');
    expect(told).toContain('dashed in motion');
  });

  it('stays inside its edges for a very long clip and shows its extremes', () => {
    const long = Array.from(
      { length: 20_000 },
      (_, frame): StripFrame => ({
        ...{ frame, verdict: 'holds', moving: null },
        ratio: frame === 12_345 ? -1 : 0.5,
      }),
    );
    const svg = drawStrip(long, { ...options, width: 600 });
    const [numbers = []] = pathsOf(svg, 'margin');
    const xs = numbers.filter((_, i) => i % 2 === 0);
    const ys = numbers.filter((_, i) => i % 2 === 1);
    expect(Math.min(...xs)).toBeGreaterThanOrEqual(0);
    expect(Math.max(...xs)).toBeLessThanOrEqual(600);
    expect(xs.length).toBeLessThan(1300);
    expect(new Set(ys).size).toBe(2);
  });

  it('says what it shows to a person who cannot see it, as text', () => {
    const svg = drawStrip(frames, { ...options, title: 'A <b> & c' });
    expect(svg).toContain('<title>A &lt;b&gt; &amp; c</title><desc>Falls, then holds.</desc>');
  });

  it('refuses a strip without frames', () => {
    expect(() => drawStrip([], options)).toThrow(RangeError);
  });
});
