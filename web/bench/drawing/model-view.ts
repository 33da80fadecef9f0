import {
  type CanvasTexture,
  type Color,
  DirectionalLight,
  type Group,
  HemisphereLight,
  type LineBasicMaterial,
  LineSegments,
  Matrix4,
  Mesh,
  type MeshLambertMaterial,
  type Object3D,
  OrthographicCamera,
  PerspectiveCamera,
  Raycaster,
  Vector2,
  Vector3,
  WebGLRenderer,
  Scene as World,
} from 'three';
import type { Transform, Vec3 } from '../../../core/geometry/index.ts';
import type { PosedFigure } from '../../../core/pose/index.ts';
import type { Load, Surface } from '../../../core/scene/types.ts';
import type { Axis, Eye, Lens } from '../camera.ts';
import { bodyKey, FigureModel } from './figure-model.ts';
import { FloorShade } from './floor-shade.ts';
import { loadKey, loadSolid } from './load-solids.ts';
import type { Palette } from './palette.ts';
import { floorRules, hatching, surfaceSolid } from './solids.ts';

/** Everything that the model view draws. */
export interface Model {
  readonly figures: readonly { readonly id: string; readonly posed: PosedFigure }[];
  readonly loads: readonly { readonly load: Load; readonly place: Transform }[];
  readonly surfaces: readonly Surface[];
}

/** What lies under the pointer. */
export type Picked =
  | { readonly kind: 'segment'; readonly figure: string; readonly segment: string }
  | { readonly kind: 'load'; readonly load: string }
  | { readonly kind: 'surface'; readonly surface: string };

/** What lies under the pointer, and where in the world. */
export interface Hit {
  readonly picked: Picked;
  readonly point: Vec3;
}

const OUTLINE_PIXELS = 1.3;

/**
 * The posed scene in three dimensions on a canvas. Draws only when asked; nothing runs in between.
 * The constructor throws an Error where the browser has no WebGL.
 */
export class ModelView {
  readonly #renderer: WebGLRenderer;
  readonly #world = new World();
  readonly #level = new OrthographicCamera();
  readonly #free = new PerspectiveCamera(undefined, undefined, 0.05, 200);
  #camera: OrthographicCamera | PerspectiveCamera = this.#level;
  readonly #lamp = new DirectionalLight(0xffffff, 1.9);
  readonly #sky = new HemisphereLight(0xffffff, 0xa39a8c, 2.15);
  readonly #figures = new Map<string, FigureModel>();
  readonly #solids = new Map<string, { readonly key: string; readonly group: Group }>();
  readonly #shade = new FloorShade();
  #rules: LineSegments | null = null;
  #cover: Object3D | null = null;
  #palette: Palette;
  #hatch: CanvasTexture;
  #size = new Vector2(1, 1);

  constructor(canvas: HTMLCanvasElement, palette: Palette) {
    this.#renderer = new WebGLRenderer({ canvas, alpha: true, antialias: true });
    this.#renderer.setClearAlpha(0);
    this.#palette = palette;
    this.#hatch = hatching(palette.sheet, palette.pencil);
    this.#world.add(this.#sky, this.#lamp, this.#lamp.target, this.#shade.group);
    this.recolour(palette);
  }

  /** Takes other colours, e.g. for a darkened room. Everything is built anew at the next `show`. */
  recolour(palette: Palette): void {
    this.#palette = palette;
    this.#hatch.dispose();
    this.#hatch = hatching(palette.sheet, palette.pencil);
    for (const model of this.#figures.values()) this.#drop(model.group);
    this.#figures.clear();
    for (const { group } of this.#solids.values()) this.#drop(group);
    this.#solids.clear();
    if (this.#rules !== null) this.#drop(this.#rules);
    this.#rules = floorRules(palette);
    this.#world.add(this.#rules);
    this.#shade.recolour(palette.ink);
  }

  /** Brings the drawing up to the model. Bodies and solids that did not change are kept. */
  show(model: Model): void {
    const seen = new Set<string>();
    for (const { id, posed } of model.figures) {
      seen.add(id);
      let figure = this.#figures.get(id);
      if (figure?.key !== bodyKey(posed.body)) {
        if (figure !== undefined) this.#drop(figure.group);
        figure = new FigureModel(id, posed.body, this.#palette, OUTLINE_PIXELS);
        this.#figures.set(id, figure);
        this.#world.add(figure.group);
      }
      figure.pose(posed);
    }
    for (const [id, figure] of this.#figures) {
      if (seen.has(id)) continue;
      this.#drop(figure.group);
      this.#figures.delete(id);
    }
    this.#showSolids(model);
    this.#shade.fall(model);
  }

  /** Lays a character's own mesh over its figure; null takes it away. Whoever made it keeps it. */
  cover(mesh: Object3D | null): void {
    if (mesh === this.#cover) return;
    if (this.#cover !== null) this.#world.remove(this.#cover);
    this.#cover = mesh;
    if (mesh !== null) this.#world.add(mesh);
  }

  #showSolids({ loads, surfaces }: Model): void {
    const seen = new Set<string>();
    for (const { load, place } of loads) {
      const id = `load/${load.id}`;
      seen.add(id);
      const group = this.#solid(id, loadKey(load), () =>
        loadSolid(load, this.#palette, OUTLINE_PIXELS),
      );
      group?.position.set(...place.position);
      group?.quaternion.set(...place.rotation);
    }
    for (const surface of surfaces) {
      const id = `surface/${surface.id}`;
      seen.add(id);
      const { size, kind, parts, rotation } = surface;
      const key = JSON.stringify([size, kind, parts ?? null, size === null ? rotation : null]);
      const group = this.#solid(id, key, () => surfaceSolid(surface, this.#palette, this.#hatch));
      group?.position.set(...surface.position);
      group?.quaternion.set(...surface.rotation);
    }
    for (const [id, { group }] of this.#solids) {
      if (seen.has(id)) continue;
      this.#drop(group);
      this.#solids.delete(id);
    }
  }

  #solid(id: string, key: string, make: () => Group | null): Group | null {
    const known = this.#solids.get(id);
    if (known?.key === key) return known.group;
    if (known !== undefined) this.#drop(known.group);
    const group = make();
    if (group === null) {
      this.#solids.delete(id);
      return null;
    }
    group.userData.picks = id;
    this.#solids.set(id, { key, group });
    this.#world.add(group);
    return group;
  }

  /** Colours some segments, keyed `figure/segment`; all others get their own paper tone back. */
  tint(tints: ReadonlyMap<string, Color>): void {
    for (const figure of this.#figures.values()) figure.tint(tints);
  }

  /** Draws the outlines of some figures in somebody's ink, by figure id. */
  outline(inks: ReadonlyMap<string, Color>): void {
    for (const [id, figure] of this.#figures) figure.outline(inks.get(id) ?? null);
  }

  /** Looks along an eye, on a canvas of width x height CSS pixels. */
  look(eye: Eye, axis: Axis, width: number, height: number): void {
    this.#size.set(width, height);
    this.#renderer.setPixelRatio(Math.min(devicePixelRatio, 2));
    this.#renderer.setSize(width, height, false);
    if (eye.lens !== null) this.#see(eye.lens, width, height);
    else {
      this.#camera = this.#level;
      const half = width / 2 / axis.scale;
      Object.assign(this.#level, { left: -half, right: half, bottom: 0, top: height / axis.scale });
      Object.assign(this.#level, { near: 0.1, far: 120 });
      const sideways = eye.right.map((c) => c * axis.centre);
      const [x = 0, y = 0, z = 0] = eye.towards.map((c, i) => c * 60 + (sideways[i] ?? 0));
      this.#level.position.set(x, y + axis.low, z);
      this.#level.updateProjectionMatrix();
    }
    const [right, up, towards] = [eye.right, eye.up, eye.towards].map((v) => new Vector3(...v));
    this.#camera.quaternion.setFromRotationMatrix(
      new Matrix4().makeBasis(right as Vector3, up as Vector3, towards as Vector3),
    );
    this.#camera.updateMatrixWorld();
    // The light comes from the upper left of the page, as drawings are shaded.
    this.#lamp.position.copy(
      (towards as Vector3)
        .clone()
        .multiplyScalar(0.9)
        .addScaledVector(right as Vector3, -0.8),
    );
    this.#lamp.position.y += 1;
    if (this.#rules !== null) this.#rules.visible = eye.lens !== null;
    this.#shade.group.visible = eye.lens !== null;
  }

  /** A perspective whose principal point may lie anywhere on the sheet, and off it. */
  #see({ position, focal, middle }: Lens, width: number, height: number): void {
    this.#camera = this.#free;
    const { near, far } = this.#free;
    const edge = near / focal;
    this.#free.position.set(...position);
    const [left, top] = [-middle[0] * edge, middle[1] * edge];
    const [right, bottom] = [left + width * edge, top - height * edge];
    this.#free.projectionMatrix.makePerspective(left, right, top, bottom, near, far);
    this.#free.projectionMatrixInverse.copy(this.#free.projectionMatrix).invert();
  }

  render(): void {
    this.#world.traverse((part) => {
      const size = part instanceof Mesh && part.material.uniforms?.size;
      if (size) size.value.copy(this.#size);
    });
    this.#renderer.render(this.#world, this.#camera);
  }

  /**
   * What is drawn at (x, y) CSS pixels, looking through the figure `except`, and where in the world;
   * null on the bare sheet.
   */
  hit(x: number, y: number, except?: string): Hit | null {
    const caster = new Raycaster();
    const at = new Vector2((x / this.#size.x) * 2 - 1, 1 - (y / this.#size.y) * 2);
    caster.setFromCamera(at, this.#camera);
    for (const { object, point } of caster.intersectObjects(this.#world.children)) {
      if (!(object instanceof Mesh)) continue;
      const picked = pickedOf(object);
      const through = picked?.kind === 'segment' && picked.figure === except;
      if (picked !== null && !through) return { picked, point: [point.x, point.y, point.z] };
    }
    return null;
  }

  dispose(): void {
    this.cover(null);
    for (const child of [...this.#world.children]) this.#drop(child);
    this.#hatch.dispose();
    this.#renderer.dispose();
  }

  #drop(part: Object3D): void {
    part.removeFromParent();
    part.traverse((inner) => {
      if (!(inner instanceof Mesh || inner instanceof LineSegments)) return;
      inner.geometry.dispose();
      const { material } = inner as { material: MeshLambertMaterial | LineBasicMaterial };
      material.dispose();
    });
  }
}

function pickedOf(part: Object3D): Picked | null {
  for (let at: Object3D | null = part; at !== null; at = at.parent) {
    const picks: unknown = at.userData.picks;
    if (typeof picks !== 'string') continue;
    const [kind, id = '', segment = ''] = picks.split('/');
    if (kind === 'segment') return { kind, figure: id, segment };
    if (kind === 'load') return { kind, load: id };
    if (kind === 'surface') return { kind, surface: id };
  }
  return null;
}
