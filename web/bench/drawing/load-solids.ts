import {
  BoxGeometry,
  type BufferGeometry,
  CylinderGeometry,
  EdgesGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  SphereGeometry,
  TorusGeometry,
} from 'three';
import { extentsOf } from '../../../core/scene/index.ts';
import type { Load } from '../../../core/scene/types.ts';
import { inkMesh, inkOutline } from './ink.ts';
import type { Palette } from './palette.ts';
import { outlined } from './solids.ts';

type Drawn = Pick<Load, 'shape' | 'look' | 'centre'>;

/** What a load's drawing is built for. */
export const loadKey = ({ shape, look, centre }: Drawn): string =>
  JSON.stringify([shape, look ?? null, centre ?? null]);

/** A load in a paper tone of its own; where it is filled off its middle, with a dot at its mass centre. */
export function loadSolid(load: Drawn, palette: Palette, pixels: number): Group {
  const group = shapeOf(load, palette, pixels);
  if (load.centre !== undefined) {
    const dot = new Mesh(
      new SphereGeometry(Math.min(0.02, Math.min(...extentsOf(load.shape)) * 0.2), 16, 10),
      new MeshBasicMaterial({ color: palette.ink, depthTest: false, transparent: true }),
    );
    dot.renderOrder = 1;
    dot.position.set(...load.centre);
    group.add(dot);
  }
  return group;
}

const paper = (palette: Palette): MeshLambertMaterial =>
  new MeshLambertMaterial({ color: palette.load, polygonOffset: true, polygonOffsetFactor: 1 });

function shapeOf(load: Drawn, palette: Palette, pixels: number): Group {
  const { shape, look } = load;
  if (shape.kind === 'ball') return ball(shape.radius, palette, pixels);
  if (shape.kind === 'cylinder') {
    return cylinder(shape.radius, shape.length, look === 'basket', palette, pixels);
  }
  if (look === 'pack') return pack(shape.size, palette, pixels);
  if (look === 'bag') return bag(shape.size, palette, pixels);
  return crate(shape.size, palette);
}

type Size = readonly [number, number, number];

/** Edges of a form as ink lines. */
const edges = (form: BufferGeometry, palette: Palette): LineSegments =>
  new LineSegments(new EdgesGeometry(form, 30), new LineBasicMaterial({ color: palette.ink }));

/** A smooth form with its ink outline. */
function smooth(form: BufferGeometry, fill: MeshLambertMaterial, palette: Palette, pixels: number) {
  return [new Mesh(form, fill), inkMesh(form, inkOutline(palette.ink, pixels))] as const;
}

function crate(size: Size, palette: Palette): Group {
  const group = outlined(new Mesh(new BoxGeometry(...size), paper(palette)), palette);
  const strap = new BoxGeometry(size[0] * 0.12, size[1], size[2]).scale(1, 1.008, 1.008);
  for (const side of [-0.28, 0.28]) {
    const lines = edges(strap, palette);
    lines.position.x = side * size[0];
    group.add(lines);
  }
  return group;
}

function ball(radius: number, palette: Palette, pixels: number): Group {
  const group = new Group();
  const seam = new TorusGeometry(radius * 1.001, radius * 0.012, 4, 48);
  group.add(
    ...smooth(new SphereGeometry(radius, 32, 20), paper(palette), palette, pixels),
    new Mesh(seam, new MeshBasicMaterial({ color: palette.ink })),
    new Mesh(seam.clone().rotateX(Math.PI / 2), new MeshBasicMaterial({ color: palette.ink })),
  );
  return group;
}

function cylinder(
  radius: number,
  length: number,
  woven: boolean,
  palette: Palette,
  pixels: number,
): Group {
  const group = new Group();
  const form = new CylinderGeometry(radius, radius * (woven ? 0.8 : 1), length, 40, 1);
  group.add(new Mesh(form, paper(palette)), edges(form, palette));
  group.add(inkMesh(form, inkOutline(palette.ink, pixels)));
  if (woven) {
    for (let k = 1; k < 6; k++) {
      const up = k / 6 - 0.5;
      const round = radius * (0.9 + 0.2 * up) * 1.004;
      const ring = new TorusGeometry(round, length * 0.008, 4, 40).rotateX(Math.PI / 2);
      ring.translate(0, up * length, 0);
      group.add(new Mesh(ring, new MeshBasicMaterial({ color: palette.ink })));
    }
    const rim = new TorusGeometry(radius, length * 0.05, 8, 40).rotateX(Math.PI / 2);
    group.add(...smooth(rim.translate(0, length / 2, 0), paper(palette), palette, pixels));
  }
  return group;
}

/** A sack with a lid and a pocket behind (-z), and two straps ahead. */
function pack(size: Size, palette: Palette, pixels: number): Group {
  const [w, h, d] = size;
  const group = new Group();
  const fill = paper(palette);
  const part = (form: BufferGeometry): void => {
    group.add(new Mesh(form, fill), edges(form, palette));
  };
  part(new BoxGeometry(w, h * 0.86, d * 0.8).translate(0, -h * 0.07, d * 0.1));
  part(new BoxGeometry(w * 1.0, h * 0.16, d * 0.86).translate(0, h * 0.42, d * 0.07));
  part(new BoxGeometry(w * 0.7, h * 0.38, d * 0.2).translate(0, -h * 0.22, -d * 0.4));
  for (const side of [-1, 1]) {
    const strap = new TorusGeometry(h * 0.3, w * 0.045, 8, 24, Math.PI).rotateZ(-Math.PI / 2);
    strap.rotateY(-Math.PI / 2).translate(side * w * 0.3, h * 0.12, d * 0.5);
    group.add(...smooth(strap, fill, palette, pixels));
  }
  return group;
}

/** A soft bag, narrower above, with its handle in the hand over it. */
function bag(size: Size, palette: Palette, pixels: number): Group {
  const [w, h, d] = size;
  const group = new Group();
  const form = new BoxGeometry(w, h, d);
  const at = form.getAttribute('position');
  for (let i = 0; i < at.count; i++) {
    if (at.getY(i) > 0) at.setXYZ(i, at.getX(i) * 0.75, at.getY(i), at.getZ(i) * 0.35);
  }
  form.computeVertexNormals();
  group.add(new Mesh(form, paper(palette)), edges(form, palette));
  const handle = new TorusGeometry(Math.max(w, d) * 0.24, 0.008, 6, 20, Math.PI);
  if (d > w) handle.rotateY(Math.PI / 2);
  group.add(...smooth(handle.translate(0, h / 2, 0), paper(palette), palette, pixels));
  return group;
}
