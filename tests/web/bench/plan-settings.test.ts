import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import type { ContactSetting } from '../../../core/scene/index.ts';
import { type Box, overlap } from '../../../web/bench/plan-places.ts';
import { settingWords } from '../../../web/bench/plan-settings.ts';
import { show } from '../../../web/bench/shown.ts';
import { figure, scene, standing } from '../../core/balance/scenes.ts';

const SHEET = { width: 600, height: 400 };

/** The words of somebody who stands, at so many pixels a metre. */
function words(
  contacts: Readonly<Record<string, ContactSetting>>,
  scale: number,
  lines: readonly Box[] = [],
) {
  const made = scene({ figures: [figure('a', standing(), { contacts })] });
  const at = ([x, z]: readonly [number, number]) => ({ x: 300 + x * scale, y: 200 + z * scale });
  return settingWords(show(made, assess(made)), made.figures[0]!, at, lines, SHEET);
}

describe('words of settings on the plan', () => {
  it('stand over their patches where nothing else does', () => {
    const [left, right] = words({ soleL: 'planted', soleR: 'lifted' }, 900);
    expect([left!.word, right!.word]).toEqual(['planted', 'lifted']);
    expect(left!.place.left).toBeGreaterThan(right!.place.right);
  });

  it('go beside a line that lands on them, and stay on the sheet', () => {
    const [over] = words({ soleL: 'planted' }, 900);
    const [beside] = words({ soleL: 'planted' }, 900, [over!.place]);
    expect(overlap(beside!.place, over!.place)).toBe(0);
    expect(beside!.place.left).toBeGreaterThanOrEqual(0);
    expect(beside!.place.right).toBeLessThanOrEqual(SHEET.width);
  });

  it('never lie on each other, however small the plan', () => {
    const all = { soleL: 'planted', soleR: 'planted' } as const;
    const [left, right] = words(all, 120);
    expect(overlap(left!.place, right!.place)).toBe(0);
  });

  it('say nothing of what is left to the distance', () => {
    expect(words({}, 900)).toEqual([]);
  });
});
