import type { ReactiveControllerHost } from 'lit';
import { describe, expect, it } from 'vitest';
import { Looking } from '../../../web/bench/looking.ts';
import { cameraOf } from '../../../web/bench/shared-camera.ts';

const HOST: ReactiveControllerHost = {
  addController: () => undefined,
  removeController: () => undefined,
  requestUpdate: () => undefined,
  updateComplete: Promise.resolve(true),
};

describe('a drawing that becomes higher or lower', () => {
  it.each([
    ['front', 360],
    ['side', 610],
  ] as const)('keeps what the person has put in the middle of it (%s, %i px)', (view, height) => {
    const looking = new Looking(HOST);
    looking.resize(800, 480, 200, false);
    looking.setView(view);
    looking.zoomAt(1.3, 200, 100);
    const { target } = cameraOf(looking.place, looking.sheets);
    looking.resize(800, height, 150, false);
    const kept = cameraOf(looking.place, looking.sheets).target;
    for (const [i, metres] of target.entries()) expect(kept[i]).toBeCloseTo(metres, 9);
  });
});
