import { CanvasTexture, type Color, Group, Mesh, MeshBasicMaterial, PlaneGeometry } from 'three';
import { conjugate, rotate, subtract, type Vec3 } from '../../../core/geometry/index.ts';
import { boxesOf, extentsOf } from '../../../core/scene/index.ts';
import type { Surface } from '../../../core/scene/types.ts';
import type { Model } from './model-view.ts';

/** Height above a surface at which a part casts no shade any more, metres. */
const REACH = 0.55;
/** Darkness right at the surface. */
const DARKEST = 0.5;

/** The soft dark that grounded parts leave on the surface beneath them, for the free camera. */
export class FloorShade {
  readonly group = new Group();
  readonly #picture = softSpot();
  #colour: Color | null = null;

  recolour(ink: Color): void {
    this.#colour = ink;
    for (const spot of this.group.children as Mesh<PlaneGeometry, MeshBasicMaterial>[]) {
      spot.material.color.copy(ink);
    }
  }

  /** Lays one spot under each part that is near to a surface. */
  fall({ figures, loads, surfaces }: Model): void {
    let used = 0;
    for (const { posed } of figures) {
      for (const [name, { position, rotation }] of Object.entries(posed.segments)) {
        const { end, girth } = posed.body.segments[name as keyof typeof posed.segments];
        const tip = rotate(rotation, end);
        const middle: Vec3 = [
          position[0] + tip[0] / 2,
          position[1] + tip[1] / 2,
          position[2] + tip[2] / 2,
        ];
        const lowest = Math.min(position[1], position[1] + tip[1]) - girth[1];
        const thick = (girth[0] + girth[1]) * 1.5;
        if (this.#lay(used, middle, lowest, [tip[0], tip[2]], thick, surfaces)) used += 1;
      }
    }
    for (const { load, place } of loads) {
      const extents = extentsOf(load.shape);
      const wide = Math.max(extents[0], extents[2]);
      const half = extents[1] / 2;
      const lowest = place.position[1] - half;
      if (this.#lay(used, place.position, lowest, [0, 0], wide * 1.2, surfaces)) used += 1;
    }
    this.group.children.forEach((spot, i) => {
      spot.visible = i < used;
    });
  }

  #lay(
    index: number,
    middle: Vec3,
    lowest: number,
    along: readonly [number, number],
    thick: number,
    surfaces: readonly Surface[],
  ): boolean {
    const ground = heightBeneath(middle, surfaces);
    if (ground === null) return false;
    const gap = Math.max(0, lowest - ground);
    if (gap > REACH) return false;
    const spot = (this.group.children[index] ?? this.#newSpot()) as Mesh<
      PlaneGeometry,
      MeshBasicMaterial
    >;
    const spread = 1 + gap * 1.5;
    spot.position.set(middle[0], ground + 0.002 + index * 0.00004, middle[2]);
    spot.rotation.set(-Math.PI / 2, 0, Math.atan2(-along[1], along[0]));
    spot.scale.set((Math.hypot(...along) + thick) * spread, thick * spread, 1);
    spot.material.opacity = DARKEST * (1 - gap / REACH) ** 2;
    return true;
  }

  #newSpot(): Mesh {
    const spot = new Mesh(
      new PlaneGeometry(1, 1),
      new MeshBasicMaterial({ map: this.#picture, transparent: true, depthWrite: false }),
    );
    if (this.#colour !== null) spot.material.color.copy(this.#colour);
    this.group.add(spot);
    return spot;
  }
}

/** Height of the highest level surface under a point; null over a drop without ground. */
function heightBeneath(point: Vec3, surfaces: readonly Surface[]): number | null {
  let best: number | null = null;
  for (const surface of surfaces) {
    const { size, position } = surface;
    if (size === null && position[1] <= point[1]) best = Math.max(best ?? position[1], position[1]);
    for (const box of boxesOf(surface)) {
      const [x, , z] = rotate(conjugate(box.rotation), subtract(point, box.position));
      const top = box.position[1] + box.size[1] / 2;
      if (Math.abs(x) > box.size[0] / 2 || Math.abs(z) > box.size[2] / 2) continue;
      if (top <= point[1] + 0.05) best = Math.max(best ?? top, top);
    }
  }
  return best;
}

function softSpot(): CanvasTexture {
  const side = 64;
  const canvas = document.createElement('canvas');
  canvas.width = side;
  canvas.height = side;
  const context = canvas.getContext('2d');
  if (context !== null) {
    const soft = context.createRadialGradient(side / 2, side / 2, 0, side / 2, side / 2, side / 2);
    soft.addColorStop(0, 'rgba(255,255,255,1)');
    soft.addColorStop(0.45, 'rgba(255,255,255,0.55)');
    soft.addColorStop(1, 'rgba(255,255,255,0)');
    context.fillStyle = soft;
    context.fillRect(0, 0, side, side);
  }
  return new CanvasTexture(canvas);
}
