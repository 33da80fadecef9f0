import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import { drawCard } from '../../../core/drawing/index.ts';
import { JOB_SCENES } from '../balance/job-scenes.ts';

const SIZE = 10;

/** Numbers in the attributes of the first element of its kind inside a part. */
function found(svg: string, part: string, element: 'text' | 'circle'): Record<string, number> {
  const inside = svg.match(new RegExp(`<g class="${part}">.*?</g>`))?.[0] ?? '';
  const tag = inside.match(new RegExp(`<${element} [^>]*>`))?.[0] ?? '';
  return Object.fromEntries(
    [...tag.matchAll(/ (x|y|cx|cy|r)="(-?[\d.]+)"/g)].map(([, name = '', value = '']) => [
      name,
      Number(value),
    ]),
  );
}

describe('the number of the margin on a card', () => {
  it.each(Object.entries(JOB_SCENES))('stands clear of the plumb point: %s', (_, scene) => {
    const svg = drawCard(scene, assess(scene), { labelSize: SIZE });
    const number = found(svg, 'margin', 'text');
    const point = found(svg, 'plumb-point', 'circle');
    const letters = svg.match(/<g class="margin">.*?<text [^>]*>([^<]*)</)?.[1]?.length ?? 0;
    expect(letters).toBeGreaterThan(3);
    // The box of the letters: at least half as broad as high, on their base line.
    const wide = letters * SIZE * 0.5;
    const [left, right] = [number.x! - wide / 2, number.x! + wide / 2];
    const [top, bottom] = [number.y! - SIZE * 0.7, number.y!];
    const dx = Math.max(left - point.cx!, 0, point.cx! - right);
    const dy = Math.max(top - point.cy!, 0, point.cy! - bottom);
    expect(Math.hypot(dx, dy)).toBeGreaterThan(point.r!);
  });
});
