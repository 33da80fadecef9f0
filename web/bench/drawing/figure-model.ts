import {
  BufferGeometry,
  type Color,
  Float32BufferAttribute,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshLambertMaterial,
  type ShaderMaterial,
} from 'three';
import { type Body, SEGMENTS, type SegmentName } from '../../../core/body/index.ts';
import type { PosedFigure } from '../../../core/pose/index.ts';
import { bodyParts, faceLines } from './body-parts.ts';
import { extraSkin } from './extra-skins.ts';
import { inkMesh, inkOutline } from './ink.ts';
import type { Palette } from './palette.ts';

/** What the skins are built for: a body however its extra parts are turned. */
export const bodyKey = ({ spec }: Body): string =>
  JSON.stringify(spec, (name, value) => (name === 'turn' || name === 'curl' ? undefined : value));

/** One figure's skins with their ink, built once for a body and moved with each pose. */
export class FigureModel {
  readonly group = new Group();
  /** Changes when another body has to be built. */
  readonly key: string;
  readonly #id: string;
  readonly #parts = new Map<SegmentName, { group: Group; fill: MeshLambertMaterial }>();
  readonly #plain: Color;
  readonly #ink: ShaderMaterial;
  readonly #own: Color;
  /** Extra parts are turned by their body, so they are built anew while the rest is kept. */
  readonly #extras = new Map<string, { key: string; group: Group; fill: MeshLambertMaterial }>();

  constructor(id: string, body: Body, palette: Palette, pixels: number) {
    this.#id = id;
    this.key = bodyKey(body);
    this.#plain = palette.figure;
    const ink = inkOutline(palette.ink, pixels);
    this.#ink = ink;
    this.#own = palette.ink;
    const skins = bodyParts(body);
    for (const segment of SEGMENTS) {
      const group = new Group();
      const fill = new MeshLambertMaterial({ color: palette.figure });
      for (const skin of skins[segment]) group.add(new Mesh(skin, fill), inkMesh(skin, ink));
      group.userData.picks = `segment/${id}/${segment}`;
      this.#parts.set(segment, { group, fill });
      this.group.add(group);
    }
    const face = new BufferGeometry();
    face.setAttribute(
      'position',
      new Float32BufferAttribute(faceLines(body.segments.head).flat(), 3),
    );
    const lines = new LineSegments(face, new LineBasicMaterial({ color: palette.ink }));
    this.#parts.get('head')?.group.add(lines);
  }

  pose(posed: PosedFigure): void {
    for (const [segment, { group }] of this.#parts) {
      const { position, rotation } = posed.segments[segment];
      group.position.set(...position);
      group.quaternion.set(...rotation);
    }
    this.#poseExtras(posed);
  }

  #poseExtras({ body, segments }: PosedFigure): void {
    for (const extra of body.extras) {
      const key = JSON.stringify(extra.links);
      let known = this.#extras.get(extra.id);
      if (known === undefined) {
        const group = new Group();
        group.userData.picks = `segment/${this.#id}/${extra.parent}`;
        known = { key: '', group, fill: new MeshLambertMaterial({ color: this.#plain }) };
        this.#extras.set(extra.id, known);
        this.group.add(group);
      }
      if (known.key !== key) {
        for (const mesh of [...known.group.children] as Mesh[]) {
          mesh.removeFromParent();
          mesh.geometry.dispose();
        }
        const skin = extraSkin(extra);
        known.group.add(new Mesh(skin, known.fill), inkMesh(skin, this.#ink));
        known.key = key;
      }
      const { position, rotation } = segments[extra.parent];
      known.group.position.set(...position);
      known.group.quaternion.set(...rotation);
    }
  }

  /** Draws the outline in somebody's ink; null: in the page's own. */
  outline(ink: Color | null): void {
    this.#ink.uniforms.colour!.value = ink ?? this.#own;
  }

  tint(tints: ReadonlyMap<string, Color>): void {
    for (const [segment, { fill }] of this.#parts) {
      fill.color.copy(tints.get(`${this.#id}/${segment}`) ?? this.#plain);
    }
  }
}
