import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import type { Load, Scene } from '../../../core/scene/index.ts';
import { ledgerRows } from '../../../web/bench/ledger-rows.ts';
import { selectionPin, selectionText } from '../../../web/bench/selecting.ts';
import { show } from '../../../web/bench/shown.ts';
import { pinLabel } from '../../../web/bench/words.ts';
import { bentScene } from '../../helpers/small-review.ts';

const crate = (mass: number | null): Load => ({
  id: 'crate',
  name: 'Crate',
  shape: { kind: 'box', size: [0.4, 0.4, 0.4] },
  mass,
  place: { kind: 'standing', position: [1, 0.2, 0], rotation: [0, 0, 0, 1] },
});

const ledger = (mass: number | null) => {
  const scene: Scene = { ...bentScene(0), loads: [crate(mass)] };
  return ledgerRows(show(scene, assess(scene)));
};

describe('the weight ledger', () => {
  it('adds up: masses, shares and the height of the common centre', () => {
    const { rows, total } = ledger(30);
    expect(rows.map(({ id, mass }) => [id, mass])).toEqual([
      ['porter', 70],
      ['crate', 30],
    ]);
    expect(rows.reduce((sum, { share }) => sum + share!, 0)).toBeCloseTo(1, 12);
    expect(total.mass).toBe(100);
    expect(total.height).toBeCloseTo(0.7 * rows[0]!.height! + 0.3 * 0.2, 9);
  });

  it('gives no sum and no shares while a mass is unknown', () => {
    const { rows, total } = ledger(null);
    expect(total).toEqual({ mass: null, height: null });
    expect(rows.map(({ share }) => share)).toEqual([null, null]);
    expect(rows[1]?.note).not.toBe('');
  });
});

describe('selections', () => {
  it('come out of presence as they went in', () => {
    const pins = [
      { kind: 'joint', figure: 'porter', segment: 'handL' },
      { kind: 'load', load: 'crate' },
      { kind: 'plumb', figure: 'porter' },
      { kind: 'contact', contact: 'porter/soleL' },
      { kind: 'contact', contact: 'crate' },
    ] as const;
    for (const pin of pins) expect(selectionPin(selectionText(pin))).toEqual(pin);
    expect(selectionPin('something/newer')).toBeNull();
  });

  it('are called by their names', () => {
    const scene = bentScene(0);
    const pin = { kind: 'joint', figure: 'porter', segment: 'handL' } as const;
    expect(pinLabel(scene, pin)).toBe('left hand of Porter');
  });
});
