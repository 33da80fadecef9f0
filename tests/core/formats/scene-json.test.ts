import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { findJsonFault } from '../../../core/formats/json-syntax.ts';
import { readSceneJson, writeSceneJson } from '../../../core/formats/scene-json.ts';
import { sceneJsonSchema } from '../../../core/formats/scene-schema.ts';
import type { Scene } from '../../../core/scene/types.ts';

const still = [0, 0, 0, 1] as const;

const scene: Scene = {
  figures: [
    {
      id: 'porter',
      name: 'Porter',
      body: { table: 'deleva-female', stature: 1.68, mass: 62, overrides: { head: { mass: 1.5 } } },
      pose: {
        position: [0, 0.9, 0],
        rotation: still,
        joints: { chest: [0.1, 0, 0, Math.sqrt(0.99)] },
      },
      contacts: { soleL: 'planted' },
    },
  ],
  loads: [
    {
      id: 'pack',
      name: 'Salt',
      shape: { kind: 'box', size: [0.4, 0.5, 0.2] },
      mass: null,
      place: {
        kind: 'attached',
        figure: 'porter',
        segment: 'chest',
        offset: [0, 0.1, -0.3],
        rotation: still,
      },
    },
  ],
  surfaces: [
    {
      id: 'floor',
      name: 'Quay',
      kind: 'floor',
      position: [0, 0, 0],
      rotation: still,
      size: null,
      friction: 0.6,
    },
  ],
  grips: [
    {
      id: 'strap',
      a: { kind: 'figure', figure: 'porter', segment: 'handL' },
      b: { kind: 'load', load: 'pack' },
      open: true,
    },
  ],
};

// biome-ignore lint/suspicious/noExplicitAny: faults are put where no typed scene could hold them
type Loose = any;

/** The scene as loose data, to break in one place. */
function broken(change: (data: Loose) => void): string {
  const data = structuredClone(scene);
  change(data);
  return JSON.stringify(data);
}

describe('scene files', () => {
  it('reads back what it wrote, with the name', () => {
    expect(readSceneJson(writeSceneJson(scene, 'salt'))).toEqual({ ok: true, scene, name: 'salt' });
  });

  it('reads a bare scene object', () => {
    expect(readSceneJson(JSON.stringify(scene))).toEqual({ ok: true, scene, name: null });
  });

  it('brings rounded quaternions to unit length', () => {
    const read = readSceneJson(
      broken((data) => {
        data.figures[0].pose.rotation = [0, 0.599, 0, 0.8];
      }),
    );
    const turn = read.ok ? read.scene.figures[0]?.pose.rotation : undefined;
    expect(Math.hypot(...(turn ?? []))).toBeCloseTo(1, 12);
  });

  const faults: [string, (data: Loose) => void, string][] = [
    [
      'a mass below zero',
      (data) => {
        data.figures[0].body.mass = -3;
      },
      'figures[0].body.mass: expected a number above 0, got -3',
    ],
    [
      'a word for a number',
      (data) => {
        data.figures[0].body.stature = 'tall';
      },
      'figures[0].body.stature: expected a number, got "tall"',
    ],
    [
      'a field that is missing',
      (data) => {
        delete data.figures[0].name;
      },
      'figures[0].name: expected text in double quotes, got nothing',
    ],
    [
      'a field that is not ours',
      (data) => {
        data.figures[0].body.weight = 3;
      },
      'figures[0].body: "weight" is not a field here; take it out or mend its spelling',
    ],
    [
      'a joint that is not one',
      (data) => {
        data.figures[0].pose.joints.pelvis = still;
      },
      'figures[0].pose.joints: "pelvis" is not a field here; take it out or mend its spelling',
    ],
    [
      'an unknown table',
      (data) => {
        data.figures[0].body.table = 'mine';
      },
      'figures[0].body.table: expected one of deleva-female, deleva-male, dempster-winter, jensen-child, jensen-elderly-female, jensen-elderly-male, got "mine"',
    ],
    [
      'a quaternion that is none',
      (data) => {
        data.surfaces[0].rotation = [0, 0, 0, 0];
      },
      'surfaces[0].rotation: expected a unit quaternion [x, y, z, w], got a list of 4',
    ],
    [
      'a point with two numbers',
      (data) => {
        data.surfaces[0].position = [0, 1];
      },
      'surfaces[0].position: expected a list of 3, got a list of 2',
    ],
    [
      'an unknown shape',
      (data) => {
        data.loads[0].shape.kind = 'cone';
      },
      'loads[0].shape.kind: expected one of box, ball, cylinder, got "cone"',
    ],
    [
      'an id with a slash',
      (data) => {
        data.surfaces[0].id = 'a/b';
      },
      'surfaces[0].id: expected 1 to 64 characters without "/", got "a/b"',
    ],
    [
      'an id used twice',
      (data) => {
        data.surfaces.push(data.surfaces[0]);
      },
      'surfaces[1].id: expected an id of its own, got "floor" again',
    ],
    [
      'a load on nobody',
      (data) => {
        data.loads[0].place.figure = 'nobody';
      },
      'loads[0].place.figure: expected the id of a figure (there is porter), got "nobody"',
    ],
    [
      'a grip on nothing',
      (data) => {
        data.grips[0].b.load = 'crate';
      },
      'grips[0].b.load: expected the id of a load (there is pack), got "crate"',
    ],
  ];
  it.each(faults)('tells %s with its path and what was expected', (_, change, message) => {
    expect(readSceneJson(broken(change))).toEqual({ ok: false, message });
  });

  it('tells a body that cannot be built with its path and its range', () => {
    const read = readSceneJson(
      broken((data) => {
        data.figures[0].body.overrides.head.mass = 500;
      }),
    );
    expect(read.ok ? '' : read.message).toMatch(
      /^figures\[0\]\.body: mass factor of head must lie between 0\.05 and 20/,
    );
  });

  it('says how many more faults of the kind there are, in one line', () => {
    const read = readSceneJson('{}');
    expect(read).toEqual({
      ok: false,
      message: 'figures: expected a list [ ... ], got nothing (and 3 more like this)',
    });
  });

  it('refuses a newer version in words', () => {
    const read = readSceneJson(JSON.stringify({ counterlean: 2, scene }));
    expect(read.ok ? '' : read.message).toContain('is of version 2, this program reads version 1');
  });

  it('gives the path in the file when the scene is wrapped', () => {
    const text = writeSceneJson(scene).replace('"mass": 62', '"mass": 0');
    expect(readSceneJson(text)).toEqual({
      ok: false,
      message: 'scene.figures[0].body.mass: expected a number above 0, got 0',
    });
  });
});

describe('broken JSON', () => {
  it.each([
    ['', 'line 1:1: expected a scene, but the file is empty'],
    ['[1, 2', 'line 1:6: expected a comma or "]", found the end of the file'],
    ['{"a": 1,\n "b" 2}', 'line 2:6: expected a colon behind the field name, found "2"'],
    ['{"a": 1,}', 'line 1:9: expected a field name in double quotes, found "}"'],
    ["{'a': 1}", `line 1:2: expected a field name in double quotes, found "'"`],
    ['{"a": 01}', 'line 1:8: expected a comma or "}", found "1"'],
    ['{"a": nul}', 'line 1:7: expected a value, found "n"'],
    ['{} {}', 'line 1:4: expected the end of the file, found "{"'],
    [
      '{"a": "x\n"}',
      'line 1:7: expected text that closes with a double quote on the same line, found "\\""',
    ],
  ])('places the fault of %j', (text, message) => {
    expect(readSceneJson(text)).toEqual({ ok: false, message });
  });

  it('survives a file that is nothing but brackets', () => {
    expect(readSceneJson('['.repeat(200_000))).toMatchObject({ ok: false });
  });

  // Law: whatever JSON.parse accepts has no fault, and whatever it refuses has one.
  it('agrees with JSON.parse on every cut of a scene file', () => {
    const text = writeSceneJson(scene, 'cut "here" \u00e9');
    for (let end = 0; end <= text.length; end++) {
      const cut = text.slice(0, end);
      let valid = true;
      try {
        JSON.parse(cut);
      } catch {
        valid = false;
      }
      expect(findJsonFault(cut) === null, `cut at ${end}`).toBe(valid);
    }
  });
});

describe('the published JSON Schema', () => {
  const file = new URL('../../../demo-data/scene.schema.json', import.meta.url);

  it('is the one that the reader uses (COUNTERLEAN_WRITE=1 writes it anew)', () => {
    const current = `${JSON.stringify(sceneJsonSchema(), null, 2)}\n`;
    if (process.env.COUNTERLEAN_WRITE === '1') {
      mkdirSync(new URL('.', file), { recursive: true });
      writeFileSync(file, current);
    }
    expect(readFileSync(file, 'utf8')).toBe(current);
  });
});
