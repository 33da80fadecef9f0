import { describe, expect, it } from 'vitest';
import { applyTransform, lerp, rotate, subtract, type Vec3 } from '../../../core/geometry/index.ts';
import { palmCentre } from '../../../core/pose/index.ts';
import { boxesOf, extentsOf, type Load, type Surface } from '../../../core/scene/index.ts';
import {
  LOAD_CHOICES,
  type LoadChoice,
  newLoad,
  newSurface,
  SURFACE_CHOICES,
  type SurfaceChoice,
} from '../../../web/bench/adding.ts';
import { withPatch } from '../../helpers/patched.ts';
import { bentScene } from '../../helpers/small-review.ts';

// What each word of the menu gives, in centimetres and kilograms, as the lists in web/bench/adding.ts state
// it: everyday sizes, our choice, no source. Each goes through the entries of the shared document.

/** 70 kg, upright, on a level floor. */
const PORTER = bentScene(0);
const alone = withPatch(PORTER, {});
const cm = (metres: readonly number[]): number[] => metres.map((m) => Math.round(m * 1e4) / 100);

function added(choice: LoadChoice) {
  const thing = newLoad(alone, 'new', choice, 'porter');
  const shown = withPatch({ ...PORTER, loads: [thing.value as Load] }, {});
  const load = shown.scene.loads[0]!;
  const place = shown.placed.get('new')!;
  return { shown, load, place, middle: place.position, posed: shown.posed.get('porter')! };
}

function built(choice: SurfaceChoice) {
  const thing = newSurface(alone, 'new', choice);
  const { scene } = withPatch({ ...PORTER, surfaces: [thing.value as Surface] }, {});
  const surface = scene.surfaces[0]!;
  return { surface, boxes: boxesOf(surface) };
}

describe('a load that is added', () => {
  const LOADS: readonly (readonly [
    choice: LoadChoice,
    name: string,
    kind: Load['shape']['kind'],
    cm: readonly number[],
    kg: number,
    kept: 'held both' | 'held right' | 'attached chest' | 'attached head' | 'standing',
  ])[] = [
    ['ball', 'Ball 1', 'ball', [24, 24, 24], 4, 'held both'],
    ['box', 'Box 1', 'box', [36, 26, 30], 8, 'held both'],
    ['pack', 'Pack 1', 'box', [34, 52, 24], 12, 'attached chest'],
    ['bag', 'Bag 1', 'box', [16, 34, 38], 6, 'held right'],
    ['pole', 'Pole 1', 'cylinder', [4, 300, 4], 5, 'held both'],
    ['basket', 'Basket 1', 'cylinder', [44, 24, 44], 7, 'attached head'],
    ['crate', 'Crate 1', 'box', [45, 35, 35], 15, 'standing'],
    ['drum', 'Cylinder 1', 'cylinder', [40, 60, 40], 20, 'standing'],
  ];

  it.each(LOADS)(
    '%s: its name, shape, size, mass and place',
    (choice, name, kind, size, kg, kept) => {
      const { shown, load } = added(choice);
      expect([load.name, load.shape.kind, load.mass]).toEqual([name, kind, kg]);
      expect(cm(extentsOf(load.shape))).toEqual(size);
      const { place } = load;
      const how =
        place.kind === 'held' ? place.hands : place.kind === 'attached' ? place.segment : '';
      expect(`${place.kind} ${how}`.trim()).toBe(kept);
      // What is carried is weighed with who carries it; what stands is weighed by itself.
      const carrier = shown.report.groups.find(({ members }) => members.includes('porter'));
      expect(carrier!.mass).toBeCloseTo(70 + (kept === 'standing' ? 0 : kg), 9);
    },
  );

  it('are all there are', () => {
    expect(LOADS.map(([choice]) => choice).sort()).toEqual(Object.keys(LOAD_CHOICES).sort());
  });

  it.each(['ball', 'box', 'pole'] as const)('%s: is midway between the palms', (choice) => {
    const { posed, middle } = added(choice);
    const midway = lerp(palmCentre(posed, 'L'), palmCentre(posed, 'R'), 0.5);
    for (const way of subtract(middle, midway)) expect(way).toBeCloseTo(0, 9);
  });

  it('pole: lies across the body', () => {
    const along = rotate(added('pole').place.rotation, [0, 1, 0]);
    expect(Math.abs(along[0])).toBeCloseTo(1, 9);
  });

  it('bag: hangs under the right palm, its top 6 cm below', () => {
    const { posed, middle } = added('bag');
    const [x, y, z] = subtract(middle, palmCentre(posed, 'R'));
    expect(cm([x, y + 0.34 / 2, z])).toEqual([0, -6, 0]);
  });

  it('pack: is behind the back and basket: stands on the crown', () => {
    const pack = added('pack');
    const back = applyTransform(
      pack.posed.segments.chest,
      pack.posed.body.patches.back.outline[0]!,
    );
    expect(pack.middle[2] + 0.24 / 2).toBeLessThan(back[2]);
    const basket = added('basket');
    const { head } = basket.posed.segments;
    const crown = applyTransform(head, [0, basket.posed.body.segments.head.end[1], 0]);
    expect(basket.middle[1] - 0.24 / 2).toBeCloseTo(crown[1], 2);
  });

  it.each(['crate', 'drum'] as const)('%s: stands on the floor', (choice) => {
    const { load, middle } = added(choice);
    expect(middle[1] - extentsOf(load.shape)[1] / 2).toBeCloseTo(0, 12);
  });
});

describe('a surface that is added', () => {
  const SURFACES: readonly (readonly [
    choice: SurfaceChoice,
    name: string,
    cm: readonly number[],
    boxes: number,
    /** Height of its underside, centimetres. */
    up: number,
  ])[] = [
    ['chair', 'Chair 1', [46, 45, 44], 4, 0],
    ['stool', 'Stool 1', [36, 46, 36], 1, 0],
    ['seat', 'Seat 1', [45, 45, 42], 1, 0],
    ['box', 'Box 1', [50, 40, 50], 1, 0],
    ['step', 'Step 1', [80, 17, 30], 1, 0],
    ['stair', 'Stair 1', [100, 68, 112], 4, 0],
    ['ledge', 'Ledge 1', [120, 60, 80], 1, 0],
    ['beam', 'Beam 1', [9.5, 10, 200], 1, 0],
    ['rope', 'Rope line 1', [2.5, 2.5, 400], 1, 50],
    ['wall', 'Wall 1', [160, 200, 10], 1, 0],
    ['slope', 'Slope 1', [140, 10, 200], 1, 20],
    ['rail', 'Rail 1', [160, 5, 5], 1, 95],
    ['table', 'Table 1', [120, 74, 70], 1, 0],
  ];

  it.each(SURFACES)(
    '%s: its name, size, parts, height and friction',
    (choice, name, size, boxes, up) => {
      const { surface, boxes: parts } = built(choice);
      expect([surface.kind, surface.name, surface.friction]).toEqual([choice, name, 0.7]);
      expect(cm(surface.size!)).toEqual(size);
      expect(parts).toHaveLength(boxes);
      expect(cm([surface.position[1] - surface.size![1] / 2])).toEqual([up]);
    },
  );

  it('are all there are', () => {
    expect(SURFACES.map(([choice]) => choice).sort()).toEqual(Object.keys(SURFACE_CHOICES).sort());
  });

  it('chair: a back 45 cm and arms 20 cm above the seat', () => {
    const tops = built('chair').boxes.map(({ position, size }) => position[1] + size[1] / 2);
    expect(cm(tops)).toEqual([45, 90, 65, 65]);
  });

  it('stair: four steps of 17 by 28 cm that climb ahead', () => {
    const { boxes } = built('stair');
    const tops = boxes.map(({ position, size }) => position[1] + size[1] / 2);
    expect(cm(tops)).toEqual([17, 34, 51, 68]);
    const fronts = boxes.map(({ position, size }) => position[2] - size[2] / 2);
    expect(cm(fronts.map((at) => at - fronts[0]!))).toEqual([0, 28, 56, 84]);
  });

  it('slope: rises 12 degrees ahead, the only one that does not lie level', () => {
    for (const choice of Object.keys(SURFACE_CHOICES) as SurfaceChoice[]) {
      const ahead: Vec3 = rotate(built(choice).surface.rotation, [0, 0, 1]);
      const rise = (Math.asin(ahead[1]) * 180) / Math.PI;
      expect(rise, choice).toBeCloseTo(choice === 'slope' ? 12 : 0, 9);
    }
  });
});
