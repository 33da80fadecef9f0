import load from 'mujoco-js';
import { beforeAll, describe, expect, it } from 'vitest';
import { assess, type GroupReading } from '../../../core/balance/index.ts';
import { buildBody } from '../../../core/body/index.ts';
import type { Contact } from '../../../core/contact/index.ts';
import { rotate, type Vec3 } from '../../../core/geometry/index.ts';
import { poseFigure } from '../../../core/pose/index.ts';
import type { Figure, Scene } from '../../../core/scene/index.ts';
import { seeded } from '../geometry/random.ts';
import { box, figure, MAN, moved, posed, scene, WOMAN } from './scenes.ts';

/**
 * Figures frozen stiff in MuJoCo 3.3.8 (mujoco-js, an independent simulator): mass, centre and inertia of
 * the posed body, small balls at the corners of its contacts, on planes and boxes with the same friction.
 * What `assess` says holds by more than 1 cm must stand after 2 s; what falls by more than 1 cm must not.
 */
const FIGURES = 40;
const CLEAR = 0.01;
const SECONDS = 2;
const STEP = 0.001;
const BALL = 0.004;

/** Heights and the way of standing change from kind to kind; the rest is chance. */
const KINDS = ['level', 'one foot', 'step', 'beam'] as const;

function sceneOf(seed: number): Scene {
  const random = seeded(seed);
  const between = (from: number, to: number) => from + random() * (to - from);
  const kind = KINDS[Math.floor(random() * KINDS.length)]!;
  const spec = random() < 0.5 ? MAN : WOMAN;
  const arms = { flexion: between(-30, 150), abduction: between(0, 80) };
  const pose = posed(
    {
      lean: between(-7, 20),
      trunk: between(-8, 25),
      upperArmL: arms,
      upperArmR: { flexion: between(-30, 150), abduction: between(0, 80) },
      abdomen: { abduction: between(-12, 12) },
      thighL: { abduction: between(0, 12) },
      thighR: { abduction: between(0, 12), flexion: kind === 'step' ? between(30, 60) : 0 },
      shankR: { flexion: kind === 'step' ? between(30, 60) : 0 },
    },
    spec,
  );
  const settings: Figure['contacts'] =
    kind === 'one foot'
      ? { soleL: 'planted', toesL: 'planted', soleR: 'lifted', toesR: 'lifted' }
      : { soleL: 'planted', toesL: 'planted', soleR: 'planted', toesR: 'planted' };
  const surfaces =
    kind === 'beam'
      ? [box('beam', [0, -0.1, 0], [2, 0.2, between(0.06, 0.14)])]
      : kind === 'step'
        ? [
            box('low', [0.5, -0.1, 0], [1, 0.2, 3]),
            box('step', [-0.5, between(0.05, 0.2) - 0.1, 0.2], [1, 0.2, 3]),
          ]
        : [box('ground', [0, -0.1, 0], [3, 0.2, 3])];
  return scene({
    surfaces,
    figures: [figure('a', moved(pose, [0, 0, 0]), { body: spec, contacts: settings })],
  });
}

interface Case {
  readonly seed: number;
  readonly scene: Scene;
  readonly group: GroupReading;
  readonly contacts: readonly Contact[];
}

/** The first seeds whose verdict is clear, as many that hold as that fall. */
function cases(): readonly Case[] {
  const holding: Case[] = [];
  const falling: Case[] = [];
  for (let seed = 1; holding.length + falling.length < FIGURES; seed++) {
    const made = sceneOf(seed);
    const { groups, contacts } = assess(made);
    const group = groups[0]!;
    const distance = group.margin?.distance ?? 0;
    if (Math.abs(distance) < CLEAR) continue;
    const list = distance > 0 ? holding : falling;
    if (list.length < FIGURES / 2) list.push({ seed, scene: made, group, contacts });
  }
  return [...holding, ...falling];
}

/** Ours (x, y, z) is MuJoCo's (x, -z, y). */
const theirs = ([x, y, z]: Vec3): string => `${x} ${-z} ${y}`;

function modelOf({ scene: { figures, surfaces }, contacts }: Case): string {
  const { body, pose } = figures[0]!;
  const placed = poseFigure(buildBody(body), pose);
  const [cx, cy, cz] = placed.centre;
  // Inertia about the centre, every segment a ball of some size at its own centre.
  let [xx, yy, zz, xy, xz, yz] = [0, 0, 0, 0, 0, 0];
  for (const { name, mass, centre, girth } of Object.values(placed.body.segments)) {
    const { position, rotation } = placed.segments[name];
    const [rx, ry, rz] = rotate(rotation, centre);
    const [x, y, z] = [position[0] + rx - cx, position[1] + ry - cy, position[2] + rz - cz];
    const own = 0.4 * mass * girth[0] ** 2;
    xx += mass * (y * y + z * z) + own;
    yy += mass * (x * x + z * z) + own;
    zz += mass * (x * x + y * y) + own;
    xy -= mass * x * y;
    xz -= mass * x * z;
    yz -= mass * y * z;
  }
  // Their axes: x, -z, y of ours.
  const inertia = `${xx} ${zz} ${yy} ${-xz} ${xy} ${-yz}`;
  const balls = contacts
    .flatMap(({ outline, normal, friction }) =>
      outline.map((p) => {
        const at: Vec3 = [
          p[0] + normal[0] * BALL - cx,
          p[1] + normal[1] * BALL - cy,
          p[2] + normal[2] * BALL - cz,
        ];
        return `<geom type="sphere" size="${BALL}" mass="0" pos="${theirs(at)}" friction="${friction}"/>`;
      }),
    )
    .join('');
  const ground = surfaces
    .map(({ position, size, friction }) => {
      const [sx, sy, sz] = size!;
      return `<geom type="box" pos="${theirs(position)}" size="${sx / 2} ${sz / 2} ${sy / 2}" friction="${friction}"/>`;
    })
    .join('');
  return `<mujoco><option timestep="${STEP}" gravity="0 0 -9.81" cone="elliptic" impratio="10"/>
    <default><geom condim="3" solref="0.004 1" solimp="0.99 0.999 0.0001"/></default>
    <worldbody>${ground}
      <body pos="${theirs([cx, cy, cz])}"><freejoint/>
        <inertial pos="0 0 0" mass="${placed.body.spec.mass}" fullinertia="${inertia}"/>${balls}</body>
    </worldbody></mujoco>`;
}

type Simulator = Awaited<ReturnType<typeof load>>;

/** How far it has turned out of its pose after 2 s, radians, and how far its centre has sunk, metres. */
function settle(mj: Simulator, xml: string): { turned: number; sunk: number } {
  (mj as unknown as { FS: { writeFile(path: string, text: string): void } }).FS.writeFile(
    '/block.xml',
    xml,
  );
  const model = mj.MjModel.loadFromXML('/block.xml');
  const data = new mj.MjData(model);
  mj.mj_forward(model, data);
  const start = (data.qpos as Float64Array)[2]!;
  for (let step = 0; step < SECONDS / STEP; step++) mj.mj_step(model, data);
  const qpos = Array.from(data.qpos as Float64Array);
  data.delete();
  model.delete();
  return { turned: 2 * Math.acos(Math.min(1, Math.abs(qpos[3]!))), sunk: start - qpos[2]! };
}

describe('figures frozen stiff, in MuJoCo', () => {
  const all = cases();
  let mj: Simulator;
  beforeAll(async () => {
    mj = await load();
  });

  it('cover every kind, both ways', () => {
    expect(all).toHaveLength(FIGURES);
    const heights = all.map(
      ({ contacts }) =>
        new Set(contacts.flatMap(({ outline }) => outline.map((p) => p[1].toFixed(3)))).size,
    );
    expect(heights.filter((count) => count > 1).length).toBeGreaterThan(3);
    expect(all.filter(({ group }) => group.support.basis === 'region').length).toBeGreaterThan(3);
  });

  it.each(
    all.map((c) => ({
      ...c,
      verdict: c.group.verdict,
      cm: (c.group.margin!.distance * 100).toFixed(1),
    })),
  )('seed $seed $verdict by $cm cm', (c) => {
    const { turned, sunk } = settle(mj, modelOf(c));
    const stands = turned < 0.05 && sunk < 0.01;
    expect(stands, `seed ${c.seed}: turned ${turned} rad, sunk ${sunk} m`).toBe(
      c.group.margin!.distance > 0,
    );
  });
});
