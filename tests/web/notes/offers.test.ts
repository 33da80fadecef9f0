import { describe, expect, it } from 'vitest';
import { assess } from '../../../core/balance/index.ts';
import type { Scene } from '../../../core/scene/index.ts';
import { type Offer, typicalNotes } from '../../../web/notes/offers.ts';
import { bentScene } from '../../helpers/small-review.ts';

const offersOf = (scene: Scene): Offer[] => typicalNotes(scene, assess(scene));
const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

describe('typical notes', () => {
  it('say how far the centre is before the toes, and what usually mends it', () => {
    const scene = bentScene(85);
    const [offer] = offersOf(scene);
    const margin = assess(scene).groups[0]?.margin?.distance ?? Number.NaN;
    const cm = (Math.abs(margin) * 100).toFixed(Math.abs(margin) < 0.0995 ? 1 : 0);
    expect(offer && plain(offer.text)).toBe(
      `Centre ${cm} cm before the toes: hips back, or a foot underneath.`,
    );
    expect(offer).toMatchObject({ weight: 'must', pin: { kind: 'plumb', figure: 'porter' } });
  });

  it('name a lighter load where the load pulls the way that it falls', () => {
    const base = bentScene(85);
    const load = {
      id: 'sack',
      name: 'Sack',
      shape: { kind: 'ball', radius: 0.2 },
      mass: 20,
      // Bent over, what is above the chest lies ahead.
      place: {
        kind: 'attached',
        figure: 'porter',
        segment: 'chest',
        offset: [0, 0.5, 0],
        rotation: [0, 0, 0, 1],
      },
    } as const;
    const [offer] = offersOf({ ...base, loads: [load] });
    expect(offer?.text).toMatch(/: hips back, or a lighter load\.$/);
  });

  it('ask for a mass that is not set, pinned to the load', () => {
    const load = {
      id: 'sack',
      name: 'Sack',
      shape: { kind: 'ball', radius: 0.2 },
      mass: null,
      place: { kind: 'held', figure: 'porter', hands: 'both', offset: [0, 0, 0.2] },
    } as const;
    const offers = offersOf({ ...bentScene(0), loads: [load] });
    expect(offers).toHaveLength(1);
    expect(offers[0]).toMatchObject({ pin: { kind: 'load', load: 'sack' } });
    expect(offers[0]?.text).toMatch(/How heavy is the Sack/);
  });

  it('offer nothing on a pose that stands easily', () => {
    expect(offersOf(bentScene(0))).toEqual([]);
  });
});
