import { describe, expect, it } from 'vitest';
import { assess, VERDICTS } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import {
  badgeGlyph,
  drawCard,
  drawScene,
  marginText,
  tellingView,
} from '../../../core/drawing/index.ts';
import { extentOf, projection, viewOf } from '../../../core/drawing/view.ts';
import { mirrorPose, poseFromAngles, restPose } from '../../../core/pose/index.ts';
import type { Figure, Scene } from '../../../core/scene/index.ts';

const body = { table: 'deleva-female', stature: 1.68, mass: 62 } as const;
const built = buildBody(body);
const still = [0, 0, 0, 1] as const;

const standing = (pose: Figure['pose'], name = 'Porter'): Scene => ({
  figures: [{ id: 'porter', name, body, pose, contacts: {} }],
  loads: [],
  surfaces: [
    {
      id: 'floor',
      name: 'Quay',
      kind: 'floor',
      position: [0, 0, 0],
      rotation: still,
      size: null,
      friction: 0.7,
    },
  ],
  grips: [],
});

const upright = standing(restPose(built));
const falling = standing(poseFromAngles({ lean: 4, trunk: 80 }, built));

/** Numbers of the first element of a part that matches, e.g. the plumb line's path. */
function numbersIn(svg: string, part: string, pattern: RegExp): number[] {
  const inside = svg.split(`<g class="${part}">`)[1]?.split('</g>')[0] ?? '';
  const found = inside.match(pattern)?.[0] ?? '';
  return (found.match(/-?\d+(?:\.\d+)?/g) ?? []).map(Number);
}

const LAST_PATH = /d="M[^"]*"/;

describe('views', () => {
  // Conventions of the project: Y up, figures face +Z, +X is their left.
  it('show a figure that faces +Z from before it and from its right side', () => {
    const at = (name: 'front' | 'side' | 'plan', point: readonly [number, number, number]) =>
      projection(viewOf(name), 100, [0, 0]).at(point);
    expect(at('front', [1, 2, 3])).toEqual([100, -200]);
    expect(at('side', [1, 2, 3])).toEqual([300, -200]);
    expect(at('plan', [1, 2, 3])).toEqual([100, 300]);
  });

  it('turn a plan so that it shares the horizontal axis of the elevation above it', () => {
    for (const name of ['front', 'side'] as const)
      expect(viewOf('plan', name).right).toEqual(viewOf(name).right);
  });

  it('have no extent without points', () => {
    expect(extentOf(viewOf('front'), [])).toBeNull();
  });
});

describe('drawScene', () => {
  it.each(['front', 'side', 'plan'] as const)('gives a whole SVG document from the %s', (view) => {
    const svg = drawScene(upright, assess(upright), { view, width: 300, height: 400 });
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" viewBox="0 0 300 400"/);
    expect(svg.endsWith('</svg>')).toBe(true);
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
    expect(svg.match(/<g /g)?.length).toBe(svg.match(/<\/g>/g)?.length);
  });

  it('tells the report in its description', () => {
    const report = assess(falling);
    const svg = drawScene(falling, report, { view: 'side', width: 300, height: 400 });
    expect(svg).toContain('<title>Seen from the side</title>');
    expect(svg).toContain(`<desc>${report.groups[0]?.sentence}</desc>`);
  });

  it('drops the plumb line straight from the centre to the ground', () => {
    const report = assess(upright);
    const svg = drawScene(upright, report, {
      view: 'side',
      width: 300,
      height: 400,
      extent: { left: -1, right: 1, bottom: 0, top: 2 },
    });
    const [x1, top, x2, bottom] = numbersIn(svg, 'plumb', LAST_PATH);
    const [z, y] = [report.groups[0]?.centre?.[2] ?? 0, report.groups[0]?.centre?.[1] ?? 0];
    // 276 px for 2 m of width and 364 px for 2 m of height: the width decides, 138 px a metre.
    const scale = (300 - 24) / 2;
    expect(x1).toBe(x2);
    expect(x1).toBeCloseTo(150 + z * scale, 0);
    expect((bottom ?? 0) - (top ?? 0)).toBeCloseTo(y * scale, 0);
  });

  it('uses the colours of the page, or plain ones for a file', () => {
    const options = { view: 'plan', width: 200, height: 200 } as const;
    expect(drawScene(upright, assess(upright), options)).toContain('var(--holds,#0F6B6E)');
    const file = drawScene(upright, assess(upright), { ...options, theme: 'paper' });
    expect(file).toContain('#0F6B6E');
    expect(file).not.toContain('var(');
  });

  it('writes the margin in centimetres and points where a fall goes', () => {
    const report = assess(falling);
    const margin = report.groups[0]?.margin;
    if (!margin) throw new Error('no margin');
    const svg = drawScene(falling, report, { view: 'plan', width: 300, height: 300 });
    expect(report.groups[0]?.verdict).toBe('falls');
    expect(svg).toContain(`>${marginText(margin)}</text>`);
    expect(marginText(margin)).toMatch(/^\u2212\d+\.\d cm$/);
    // Seen from above under a front view forwards is down the page.
    const [x1, y1, x2, y2] = numbersIn(svg, 'fall', LAST_PATH);
    expect(Math.abs((x2 ?? 0) - (x1 ?? 0))).toBeLessThan(1);
    expect((y2 ?? 0) - (y1 ?? 0)).toBeGreaterThan(10);
  });

  it('has no arrow and no margin for a figure in the air', () => {
    const pose = restPose(built);
    const scene = standing({ ...pose, position: [0, pose.position[1] + 0.3, 0] });
    const svg = drawScene(scene, assess(scene), { view: 'plan', width: 300, height: 300 });
    expect(svg).not.toContain('class="fall"');
    expect(svg).not.toContain('class="margin"');
  });

  it('keeps markup and control signs in names out of the document', () => {
    const scene = standing(restPose(built), '<b>&"\u0007</b>');
    const title = '<script>&"\u0007';
    const svg = drawCard(scene, assess(scene), { title });
    expect(svg).toContain('<title>&lt;script&gt;&amp;&quot;</title>');
    expect(svg).not.toContain('\u0007');
  });

  it('draws an empty scene as an empty sheet', () => {
    const scene: Scene = { figures: [], loads: [], surfaces: [], grips: [] };
    const svg = drawScene(scene, assess(scene), { view: 'front', width: 100, height: 100 });
    expect(svg).toContain('Nothing stands here yet.');
    expect(svg).not.toContain('<path');
  });
});

describe('the mannequin', () => {
  const onPage = (scene: Scene) =>
    drawScene(scene, assess(scene), {
      view: 'front',
      width: 400,
      height: 400,
      extent: { left: -1, right: 1, bottom: 0, top: 2 },
    });

  it('is the mirror image for the mirrored pose', () => {
    const pose = poseFromAngles({ upperArmL: { abduction: 80 }, head: { rotation: 40 } }, built);
    const span = (svg: string, part: string): [number, number] => {
      const numbers = numbersIn(svg, part, LAST_PATH);
      const xs = numbers.filter((_, i) => i % 2 === 0);
      return [Math.min(...xs), Math.max(...xs)];
    };
    const one = span(onPage(standing(pose)), 'armL');
    const other = span(onPage(standing(mirrorPose(pose))), 'armR');
    expect(other[0]).toBeCloseTo(400 - one[1], 0);
    expect(other[1]).toBeCloseTo(400 - one[0], 0);
  });

  it('shows the face from before and not from behind', () => {
    const faces = (turn: number): number => {
      const scene = standing(poseFromAngles({ pelvis: { rotation: turn } }, built));
      return (
        onPage(scene).split('<g class="head">')[1]?.split('</g>')[0]?.match(/<path/g)?.length ?? 0
      );
    };
    expect(faces(0)).toBe(3);
    expect(faces(180)).toBe(2);
  });

  it('draws the far limbs in pencil, the near ones in ink', () => {
    const svg = drawScene(upright, assess(upright), { view: 'side', width: 300, height: 400 });
    const stroke = (part: string) =>
      svg
        .split(`<g class="${part}">`)[1]
        ?.split('</g>')[0]
        ?.match(/stroke="var\(--(\w+)/)?.[1];
    expect([stroke('armL'), stroke('armR')]).toEqual(['pencil', 'ink']);
    expect(svg.indexOf('class="armL"')).toBeLessThan(svg.indexOf('class="trunk"'));
    expect(svg.indexOf('class="armR"')).toBeGreaterThan(svg.indexOf('class="trunk"'));
  });
});

describe('drawCard', () => {
  it('runs the plumb line from the centre through the ground to its point among the soles', () => {
    const svg = drawCard(upright, assess(upright));
    const [x, , , bottom] = numbersIn(svg, 'plumb', LAST_PATH);
    const [cx, cy] = numbersIn(svg, 'plumb-point', /cx="[^"]*" cy="[^"]*"/);
    expect(cx).toBeCloseTo(x ?? Number.NaN, 1);
    expect(cy).toBeCloseTo(bottom ?? Number.NaN, 1);
  });

  it('is small: 60 of them are one board', () => {
    expect(drawCard(upright, assess(upright)).length).toBeLessThan(16_000);
  });

  it('looks from the side at a lean, from the front at a shift', () => {
    const shifted = standing(
      poseFromAngles({ thighL: { abduction: 14 }, thighR: { abduction: -14 } }, built),
    );
    expect(tellingView(assess(falling))).toBe('side');
    expect(tellingView(assess(shifted))).toBe('front');
  });
});

describe('badgeGlyph', () => {
  it('tells every verdict apart by shape alone', () => {
    const shapes = VERDICTS.map((verdict) =>
      badgeGlyph(verdict)
        .paths.map(({ d, paint }) => d + paint)
        .join(' '),
    );
    expect(new Set(shapes).size).toBe(VERDICTS.length);
  });
});
