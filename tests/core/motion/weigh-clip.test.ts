import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readClip } from '../../../core/formats/index.ts';
import {
  applyTransform,
  fromAxisAngle,
  multiply,
  type Vec3,
} from '../../../core/geometry/index.ts';
import {
  type ClipProgress,
  type ClipReading,
  type ClipSource,
  contactSpans,
  toppleConstant,
  toppleTime,
  weighClip,
  weighClipSteps,
} from '../../../core/motion/index.ts';
import { restPose, standOnFloor } from '../../../core/pose/index.ts';
import { bodyOf, posedFigures, type Scene } from '../../../core/scene/index.ts';

const SPEC = { table: 'deleva-female', stature: 1.68, mass: 62 } as const;
const STANDING = standOnFloor(bodyOf(SPEC), restPose(bodyOf(SPEC)));

function scene(position: Vec3, lean = 0, pivot: Vec3 = [0, 0, 0]): Scene {
  // Turned about a line through the pivot across the way it faces; positive leans forwards.
  const turn = fromAxisAngle([1, 0, 0], lean);
  const from: Vec3 = [position[0] - pivot[0], position[1] - pivot[1], position[2] - pivot[2]];
  const at = applyTransform({ position: pivot, rotation: turn }, from);
  return {
    figures: [
      {
        ...{ id: 'a', name: 'Ada', body: SPEC, contacts: {} },
        pose: { ...STANDING, position: at, rotation: multiply(turn, STANDING.rotation) },
      },
    ],
    loads: [],
    surfaces: [
      {
        ...{ id: 'floor', name: 'Floor', kind: 'floor', position: [0, 0, 0] },
        ...{ rotation: [0, 0, 0, 1], size: null, friction: 0.8 },
      },
    ],
    grips: [],
  };
}

const clip = (rate: number, frameCount: number, sceneAt: (t: number) => Scene): ClipSource => ({
  rate,
  frameCount,
  sceneAt: (frame) => sceneAt(frame / rate),
});
const [px, py, pz] = STANDING.position;

describe('a clip that is weighed in motion', () => {
  it('of a still figure holds in every frame and says what a single pose says', () => {
    const still = weighClip(clip(24, 30, () => scene(STANDING.position)));
    expect(still.counts).toEqual({ holds: 30 });
    expect(still.frames[7]!.sentence).toBe(still.frames[7]!.reading.sentence);
    expect(still.frames[7]!.velocity).toEqual([0, 0, 0]);
    expect(still.frames[7]!.extrapolated).toEqual(still.frames[7]!.reading.centre);
    expect(still.stopsFrom).toBe(0);
    expect(still.flights).toEqual([]);
    expect(still.spans).toEqual([{ from: 0, to: 29, parts: ['a/footL', 'a/footR'] }]);
  });

  it('of a jump finds the flight, its gravity and the landing', () => {
    // Leaves the floor at 0.25 s with 2.4525 m/s: 0.5 s in the air (g t / 2 each way).
    const up = (t: number) => Math.max(0, 2.4525 * (t - 0.25) - 4.905 * (t - 0.25) ** 2);
    const jump = weighClip(clip(60, 60, (t) => scene([px, py + (t > 0.25 ? up(t) : 0), pz])));
    expect(jump.flights).toHaveLength(1);
    const [flight] = jump.flights;
    expect(Math.abs((flight?.gravity ?? 0) / 9.81 - 1)).toBeLessThan(0.05);
    expect(flight?.kind).toBe('flies');
    const middle = jump.frames[30]!;
    expect(middle.verdict).toBe('airborne');
    expect(middle.extrapolated).toBeNull();
    expect(middle.pressure).toBeNull();
    expect(middle.acceleration![1]).toBeCloseTo(-9.81, 1);
    expect(jump.spans.map(({ parts }) => parts.length)).toEqual([2, 0, 2]);
    // Drawn at half the size it falls half as fast (still the same frames).
    const half = weighClip(clip(60, 60, (t) => scene([px, py + (t > 0.25 ? up(t) / 2 : 0), pz])));
    expect(half.flights[0]?.scale).toBeCloseTo(0.5, 1);
    expect(half.flights[0]?.kind).toBe('floats');
  });

  it('of a figure that tips over its toes falls in every frame, and the time left runs out', () => {
    // The exact motion of a stiff body: frames at which theta'' = k sin theta, from 10 degrees.
    const standing = posedFigures(scene(STANDING.position)).get('a')!;
    const toe = Math.max(
      ...standing.body.patches.toesL.outline.map(
        (p) => applyTransform(standing.segments.toesL, p)[2],
      ),
    );
    const [, height, z] = standing.centre;
    const ahead = Math.atan2(toe - z, height);
    const k = toppleConstant(Math.hypot(height, toe - z));
    const rate = 24;
    const start = 0.05;
    const angles: number[] = [];
    for (let frame = 0; frame < 10; frame++) {
      let [low, high] = [start, 1.5];
      for (let i = 0; i < 50; i++) {
        const middle = (low + high) / 2;
        const time = toppleTime({ lean: start, until: middle, k }) ?? 0;
        if (time < frame / rate) low = middle;
        else high = middle;
      }
      angles.push(low);
    }
    const tipping: ClipSource = {
      rate,
      frameCount: angles.length,
      sceneAt: (frame) => scene(STANDING.position, ahead + angles[frame]!, [0, 0, toe]),
    };
    const reading = weighClip(tipping, { contacts: 'single' });
    expect(reading.counts.carried ?? 0).toBe(0);
    expect(reading.counts.holds ?? 0).toBe(0);
    const whole = toppleTime({ lean: start, until: Math.PI / 4, k }) ?? 0;
    for (const frame of [3, 5, 7]) {
      const left = reading.frames[frame]!.topplesIn;
      expect(Math.abs((left ?? 0) - (whole - frame / rate))).toBeLessThan(0.05);
      expect(reading.frames[frame]!.sentence).toMatch(/^Falls forwards|^Cannot tell/);
    }
  });

  it('of a slide keeps the feet that slide: speed alone lifts nothing', () => {
    const slide = weighClip(clip(24, 24, (t) => scene([px, py, pz + 1.2 * t])));
    expect(slide.counts.airborne ?? 0).toBe(0);
    expect(slide.frames[12]!.velocity![2]).toBeCloseTo(1.2, 6);
  });

  it('keeps spans that were edited, and settings made by hand', () => {
    const standing = clip(24, 12, () => scene(STANDING.position));
    const spans = contactSpans(standing);
    expect(spans.map(({ patch }) => patch).sort()).toEqual(['soleL', 'soleR', 'toesL', 'toesR']);
    const left = spans.filter(({ patch }) => patch.endsWith('L'));
    const oneFoot = weighClip(standing, { contacts: left });
    expect(oneFoot.spans[0]?.parts).toEqual(['a/footL']);
    expect(oneFoot.counts.falls).toBe(12);
    const planted: ClipSource = {
      ...standing,
      sceneAt: (frame) => {
        const { figures, ...rest } = standing.sceneAt(frame);
        return { ...rest, figures: figures.map((f) => ({ ...f, contacts: { soleR: 'planted' } })) };
      },
    };
    expect(weighClip(planted, { contacts: left }).spans[0]?.parts).toEqual(['a/footL', 'a/footR']);
  });

  it('reports progress, fills as it goes, and stops when asked', () => {
    const standing = clip(24, 50, () => scene(STANDING.position));
    const seen: ClipProgress[] = [];
    weighClip(standing, { chunk: 20, onProgress: (progress) => seen.push(progress) });
    expect(
      seen.map(({ stage, done, from, readings }) => [stage, done, from, readings.length]),
    ).toEqual([
      ['contacts', 20, 0, 0],
      ['contacts', 40, 0, 0],
      ['contacts', 50, 0, 0],
      ['weighing', 20, 0, 20],
      ['weighing', 40, 20, 20],
      // Speeds are found for all frames first.
      ...Array.from({ length: 4 }, () => ['judging', 0, 0, 0]),
      ['judging', 20, 0, 0],
      ['judging', 40, 0, 0],
    ]);
    expect(weighClip(standing, { chunk: 20, cancelled: () => true })).toBeNull();
    const steps = weighClipSteps(standing, { chunk: 30 });
    let end = steps.next();
    expect(end.done).toBe(false);
    while (!end.done) end = steps.next();
    expect(end.done === true && end.value.frames.length).toBe(50);
  });

  it('is plain data', () => {
    const reading = weighClip(clip(24, 5, () => scene(STANDING.position)));
    expect(structuredClone(reading)).toEqual(reading);
    expect(JSON.parse(JSON.stringify(reading)).frames).toHaveLength(5);
  });

  it('refuses what it cannot weigh, in words', () => {
    const empty: Scene = { figures: [], loads: [], surfaces: [], grips: [] };
    expect(() => weighClip(clip(24, 0, () => empty))).toThrow('at least one frame');
    expect(() => weighClip(clip(0, 1, () => empty))).toThrow('positive frame rate');
    expect(() => weighClip(clip(24, 1, () => empty))).toThrow('holds nothing to weigh');
    const standing = clip(24, 1, () => scene(STANDING.position));
    expect(() => weighClip(standing, { figure: 'b' })).toThrow('holds no figure b');
  });

  it('tells nothing of the motion of a load without a mass', () => {
    const reading = weighClip(
      clip(24, 4, (t) => ({
        ...scene([px, py, pz + t]),
        loads: [
          {
            ...{ id: 'sack', name: 'Sack', mass: null, shape: { kind: 'ball', radius: 0.2 } },
            place: { kind: 'held', figure: 'a', hands: 'both', offset: [0, 0, 0] },
          },
        ],
      })),
    );
    expect(reading.counts).toEqual({ unknown: 4 });
    expect(reading.frames[0]!.velocity).toBeNull();
    expect(reading.sentences[0]).toContain('without a mass');
  });
});

describe('a recorded walk (Carnegie Mellon clip 02_01, see tests/fixtures/clips)', () => {
  const read = readClip(
    readFileSync(new URL('../../fixtures/clips/cmu_02_01_walk.bvh', import.meta.url), 'utf8'),
    { mass: 75, table: 'deleva-male' },
  );
  if (!read.ok) throw new Error(read.message);
  let weighed: ClipReading | null = null;
  const walk = () => {
    weighed ??= weighClip(read.clip);
    return weighed;
  };

  it('takes turns on its feet', () => {
    const { gait } = walk();
    expect(gait?.alternating).toBe(true);
    expect(gait?.footfalls.length).toBeGreaterThanOrEqual(5);
    // An adult walk has cycles of 0.9 to 1.3 s (from memory).
    expect(gait?.cycleTime).toBeGreaterThan(0.9);
    expect(gait?.cycleTime).toBeLessThan(1.3);
  });

  it('spends 20 to 30 percent of its cycle on two feet (textbook share of walking, from memory)', () => {
    const { gait } = walk();
    expect(gait?.shares?.double).toBeGreaterThan(0.2);
    expect(gait?.shares?.double).toBeLessThan(0.3);
    expect(gait?.shares?.air).toBe(0);
  });

  it('is carried by its speed: nearly every frame is off balance and none falls', () => {
    const { counts, frames } = walk();
    expect(counts.falls ?? 0).toBe(0);
    expect((counts.carried ?? 0) / frames.length).toBeGreaterThan(0.9);
    // Only at the end, where the next foothold lies beyond the clip, nothing can be told.
    for (const { frame, verdict } of frames)
      if (verdict === 'unknown') expect(frame).toBeGreaterThan(frames.length - 15);
  });

  // In walking the extrapolated centre stays 2 to 3 cm inside of the pressure sideways and passes the
  // support fore and aft (Hof et al. 2005 and 2007 as quoted in notes on them): on one foot it lies
  // outside the sole, towards the other foot, by a few centimetres.
  it('keeps its extrapolated centre beside the standing foot, on the inner side', () => {
    const { frames, spans } = walk();
    const asides: number[] = [];
    for (const { from, to, parts } of spans) {
      if (parts.length !== 1 || to - from < 30) continue;
      const middle = frames[Math.round((from + to) / 2)]!;
      const [vx, , vz] = middle.velocity!;
      const speed = Math.hypot(vx, vz);
      const aside = ([x, z]: readonly [number, number]) => (x * vz - z * vx) / speed;
      const polygon = middle.reading.support.polygon;
      const foot = polygon.reduce((sum, p) => sum + aside(p), 0) / polygon.length;
      const at = aside([middle.extrapolated![0], middle.extrapolated![2]]);
      // Positive: towards the other foot (left of a right foot, right of a left one).
      asides.push(parts[0]!.endsWith('R') ? at - foot : foot - at);
    }
    expect(asides.length).toBeGreaterThanOrEqual(4);
    for (const value of asides) {
      expect(value).toBeGreaterThan(0);
      expect(value).toBeLessThan(0.12);
    }
  });

  it('walks at a steady speed, with its pressure under its feet for the most part', () => {
    const { frames, noise } = walk();
    const inside = frames.filter(({ pressure }) => pressure !== null && pressure.margin > -0.05);
    expect(inside.length / frames.length).toBeGreaterThan(0.6);
    for (const { velocity } of frames.slice(20, -20)) {
      expect(Math.hypot(velocity![0], velocity![2])).toBeGreaterThan(1);
      expect(Math.hypot(velocity![0], velocity![2])).toBeLessThan(1.6);
    }
    expect(noise.position).toBeLessThan(0.002);
  });

  it('slowed down enough it would fall', () => {
    const { slowest } = weighClip(read.clip, { slowest: true });
    expect(slowest).toBeGreaterThan(0.1);
    expect(slowest).toBeLessThan(1);
    const slower: ClipSource = { ...read.clip, rate: read.clip.rate * (slowest! - 0.05) };
    const { contacts } = walk();
    expect(weighClip(slower, { contacts }).counts.falls).toBeGreaterThan(0);
  });
});
