import {
  BoxGeometry,
  BufferGeometry,
  CanvasTexture,
  type Color,
  EdgesGeometry,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  PlaneGeometry,
  RepeatWrapping,
  SRGBColorSpace,
} from 'three';
import { IDENTITY } from '../../../core/geometry/index.ts';
import { boxesOf } from '../../../core/scene/index.ts';
import type { Surface } from '../../../core/scene/types.ts';
import type { Palette } from './palette.ts';

/** Side of one tile of hatching, metres, and of the picture that it is drawn on, pixels. */
const TILE = 0.12;
const TILE_PIXELS = 64;
/** How much of an endless surface is drawn, metres. */
const ENDLESS = 6;

/** Slanted hatching as a drawing room marks what is solid. */
export function hatching(paper: Color, line: Color): CanvasTexture {
  const canvas = document.createElement('canvas');
  canvas.width = TILE_PIXELS;
  canvas.height = TILE_PIXELS;
  const context = canvas.getContext('2d');
  if (context !== null) {
    context.fillStyle = `#${paper.getHexString()}`;
    context.fillRect(0, 0, TILE_PIXELS, TILE_PIXELS);
    context.strokeStyle = `#${line.getHexString()}`;
    context.lineWidth = 2.5;
    for (const shift of [-1, 0, 1]) {
      context.beginPath();
      context.moveTo(shift * TILE_PIXELS - 4, TILE_PIXELS + 4);
      context.lineTo((shift + 1) * TILE_PIXELS + 4, -4);
      context.stroke();
    }
  }
  const texture = new CanvasTexture(canvas);
  texture.wrapS = RepeatWrapping;
  texture.wrapT = RepeatWrapping;
  texture.colorSpace = SRGBColorSpace;
  texture.anisotropy = 4;
  return texture;
}

/** Lays tiles of one size on every face, whatever its extent. */
function tileFaces(geometry: BufferGeometry): BufferGeometry {
  const position = geometry.getAttribute('position');
  const normal = geometry.getAttribute('normal');
  const uv = geometry.getAttribute('uv');
  for (let i = 0; i < position.count; i++) {
    const [x, y, z] = [position.getX(i), position.getY(i), position.getZ(i)];
    const [nx, ny] = [Math.abs(normal.getX(i)), Math.abs(normal.getY(i))];
    const [u, v] = nx > 0.5 ? [z, y] : ny > 0.5 ? [x, z] : [x, y];
    uv.setXY(i, u / TILE, v / TILE);
  }
  return geometry;
}

export function outlined(solid: Mesh, palette: Palette): Group {
  const group = new Group();
  const edges = new LineSegments(
    new EdgesGeometry(solid.geometry, 30),
    new LineBasicMaterial({ color: palette.ink }),
  );
  group.add(solid, edges);
  return group;
}

/** What is stood, sat or leaned on; null for the level floor, which the ground is drawn for. */
export function surfaceSolid(
  surface: Surface,
  palette: Palette,
  hatch: CanvasTexture,
): Group | null {
  const { size } = surface;
  if (size !== null) {
    const whole = new Group();
    for (const box of boxesOf({ ...surface, position: [0, 0, 0], rotation: IDENTITY })) {
      const solid = new Mesh(
        tileFaces(new BoxGeometry(...box.size)),
        new MeshBasicMaterial({ map: hatch, polygonOffset: true, polygonOffsetFactor: 1 }),
      );
      const part = outlined(solid, palette);
      part.position.set(...box.position);
      whole.add(part);
    }
    return whole;
  }
  const [x, , z] = surface.rotation;
  // The plane's own +Y in the world: 1 when it lies level.
  const level = 1 - 2 * (x * x + z * z);
  if (level > 0.9999) return null;
  const plane = new PlaneGeometry(ENDLESS, ENDLESS).rotateX(-Math.PI / 2);
  return outlined(
    new Mesh(
      tileFaces(plane),
      new MeshBasicMaterial({ map: hatch, transparent: true, opacity: 0.6 }),
    ),
    palette,
  );
}

/** Rules on the floor for the free camera, every half metre. */
export function floorRules(palette: Palette): LineSegments {
  const half = ENDLESS / 2;
  const points: number[] = [];
  for (let at = -half; at <= half + 1e-6; at += 0.5) {
    points.push(at, 0, -half, at, 0, half, -half, 0, at, half, 0, at);
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new Float32BufferAttribute(points, 3));
  return new LineSegments(geometry, new LineBasicMaterial({ color: palette.rule }));
}
